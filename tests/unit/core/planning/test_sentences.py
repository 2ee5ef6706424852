"""The answer in one breath, to the word."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from lumenkeep.core.planning.sentence import (
    sentence_for_ask,
    sentence_for_plan,
    sentence_for_stop,
)


def planned(
    staff: int = 2,
    dressing: str | None = "gauze",
    residue: str | None = None,
    barred: tuple[str, ...] = (),
) -> str:
    way: Any = SimpleNamespace(label="An agent", residue_removed_with=residue)
    return sentence_for_plan(way, dressing, staff, barred)


@pytest.mark.parametrize(
    ("staff", "people"),
    [(0, "No"), (1, "One"), (2, "Two"), (6, "Six"), (7, "7"), (8, "8")],
)
def test_people_are_counted_in_words_up_to_six(staff: int, people: str) -> None:
    assert planned(staff) == f"{people} people. An agent. Gauze."


def test_a_plan_says_what_takes_off_and_what_is_barred() -> None:
    assert planned(residue="sterile-saline-swab", barred=("iodine", "alcohol")) == (
        "Two people. An agent, then sterile saline swab. Gauze. No iodine. No alcohol."
    )


def test_a_plan_without_a_dressing_names_none() -> None:
    assert planned(dressing=None) == "Two people. An agent."


def test_up_to_six_facts_are_named() -> None:
    six = tuple("abcdef")

    assert sentence_for_ask(("mass",), None) == "Ask first: mass."
    assert sentence_for_ask(six, None) == (
        "Ask first: a and b and c and d and e and f."
    )
    assert sentence_for_ask((*six, "g"), None) == "Ask first: several facts."
    assert sentence_for_ask((*six, "g", "h"), None) == "Ask first: several facts."


def test_what_is_right_until_then_is_named() -> None:
    assert sentence_for_ask(("mass",), "An Agent") == (
        "Ask first: mass. If it cannot wait, an Agent is right either way."
    )


def test_a_stop_names_whom_to_call() -> None:
    assert sentence_for_stop("the ward") == (
        "Stop. No antiseptic is agreed for this child. Call the ward."
    )
