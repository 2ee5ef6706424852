"""What a step says in figures is what the policy's numbers are on the day."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from lumenkeep.core.policy import load_policy, shipped_sets
from lumenkeep.core.policy.texts import SetTexts
from lumenkeep.core.rehearsal.procedure_files import bedside_of

if TYPE_CHECKING:
    from collections.abc import Iterator

SOUND = (Path(__file__).parent / "broken" / "sound.toml").read_text("utf-8")


def texts_in(row: Any) -> Iterator[str]:
    if isinstance(row, str):
        yield row
    elif isinstance(row, dict):
        for value in row.values():
            yield from texts_in(value)
    elif isinstance(row, tuple | list):
        for value in row:
            yield from texts_in(value)
    elif is_dataclass(row):
        for one in fields(row):
            yield from texts_in(getattr(row, one.name))


@pytest.mark.parametrize("name", shipped_sets())
def test_no_brace_is_left_in_what_is_said(name: str) -> None:
    bedside = bedside_of(load_policy(name), date(2026, 11, 30))
    said = [*texts_in(replace(bedside, numbers={}))]

    assert (
        "The outer 2.5 cm of the field, and what hangs over its edge, are not sterile."
        in said
    )
    assert [text for text in said if "{" in text] == []


def test_a_sentence_says_the_number_of_its_day() -> None:
    number = (
        '[number.own-wash]\nmeans = "How long"\nunit = "s"\nvalues = ['
        '{ from = 2024-01-01, value = 30, source = "common-practice" }, '
        '{ from = 2027-01-01, value = 45, source = "common-practice" }]\n'
    )
    text = SOUND.replace('says = "Wash."', 'says = "Wash for {own-wash}."') + number
    own = SetTexts("own", (("procedures/own.toml", text),))
    policy = replace(load_policy("quillmere"), procedures=(own,))

    def wash(day: date | None) -> str:
        return bedside_of(policy, day).procedures["small"].steps[1].says

    assert wash(date(2026, 12, 31)) == "Wash for 30 seconds."
    assert wash(date(2027, 1, 1)) == "Wash for 45 seconds."
    assert wash(None) == "Wash for 45 seconds."
