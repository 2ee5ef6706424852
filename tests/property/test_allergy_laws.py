"""Whatever is said around its name, nobody is given what is not tolerated."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import cache
from typing import TYPE_CHECKING

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from lumenkeep.core.model.allergy import SaidAllergy, allergies_of, hear
from lumenkeep.core.model.substances import SUBSTANCES
from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import load_policy
from lumenkeep.files.case.case_file import case_from_mapping

if TYPE_CHECKING:
    from lumenkeep.core.policy import Policy

AT = datetime(2026, 3, 5, 9, 30, tzinfo=UTC)
SETS = ("quillmere", "us-guideline", "uk-guideline")
PAIRS = [
    (word, name) for word, names in SUBSTANCES.items() for name in sorted(names.words)
]
AROUND = st.sampled_from(
    (
        "",
        "reaction to",
        "no",
        "not allergic to",
        "?",
        "nil",
        "NKDA",
        "unknown",
        "penicillin and",
        "rash,",
        "mother says no",
        "none but",
        "denies",
        "0.5 %",
    )
) | st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), max_size=12)
CASES = st.sampled_from((str.lower, str.upper, str.title))


@cache
def policy(name: str) -> Policy:
    return load_policy(name)


@st.composite
def phrases(draw: st.DrawFn) -> tuple[str, str]:
    word, name = draw(st.sampled_from(PAIRS))
    before, after = draw(AROUND), draw(AROUND)
    return word, f"{before} {draw(CASES)(name)} {after}".strip()


@pytest.mark.parametrize("name", SETS)
@settings(max_examples=150)
@given(phrases(), st.sampled_from((True, False, None)))
@example(("chlorhexidine", "chlorhex ,0"), True)
def test_no_phrase_with_a_name_in_it_gives_an_antiseptic_with_it(
    name: str, said: tuple[str, str], touches: bool | None
) -> None:
    word, phrase = said
    told = [{"substance": phrase, "touches_skin": touches}]
    child = {
        "born": "2020-01-01T08:00:00Z",
        "weights": [{"at": "2026-03-05T06:00:00Z", "g": 20_000}],
        "sensitivities": told if phrase.isprintable() else [word],
        "skin_at_site": "intact",
        "unit": "ward",
    }
    line = {"kind": "picc", "site": "chest", "dressing": {"findings": []}}
    plan = plan_change(
        case_from_mapping({"child": child, "line": line}, "case"), AT, policy(name)
    )

    used = plan.antiseptic.agent if plan.antiseptic else plan.until_known
    assert used is None or word not in policy(name).agents[used].contains
    if word == "chlorhexidine":
        worn = plan.dressing.kind if plan.dressing else ""
        assert "chg" not in worn


@given(st.lists(phrases(), max_size=3), phrases())
def test_a_further_phrase_takes_no_doubt_and_no_bar_away(
    before: list[tuple[str, str]], further: tuple[str, str]
) -> None:
    told = [SaidAllergy(phrase) for _, phrase in before]
    more = [*told, SaidAllergy(further[1])]
    (known, left), (known_then, left_then) = allergies_of(told), allergies_of(more)

    sure = known if isinstance(known, frozenset) else frozenset()
    then = known_then if isinstance(known_then, frozenset) else frozenset(SUBSTANCES)
    assert sure <= then
    assert left.in_doubt <= left_then.in_doubt | then


@given(st.text())
def test_any_text_is_heard_and_only_the_known_words_of_none_give_leave(
    text: str,
) -> None:
    heard = hear(text)

    known, allergies = allergies_of([SaidAllergy(text)])
    gives_leave = known == frozenset() and not allergies.in_doubt
    assert gives_leave is (heard.says == "none")
