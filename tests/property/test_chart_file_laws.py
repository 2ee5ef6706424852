"""A chart file says the same in any order of its lines, written again, at any instant."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from tests.chart_rows import FIRST, LAST, charts
from tests.fakes.chart_lines import read
from tests.strategies import asked

from lumenkeep.core.model import NOT_GIVEN, Case, Child, Line, Unknown
from lumenkeep.core.model.allergy import (
    NOTHING_TOLD,
    SEVERITIES,
    SaidAllergy,
    allergies_of,
)
from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.files import world_bounds
from lumenkeep.core.reading.read_chart import read_chart
from lumenkeep.files.case.case_file import (
    case_from_mapping,
    faults_of_mass,
    faults_of_order,
)
from lumenkeep.files.case.mapping import case_as_mapping
from lumenkeep.files.chart_reading import chart_as_json
from lumenkeep.ward.chart_file.chart_file import chart_file_line

if TYPE_CHECKING:
    from random import Random

pytestmark = pytest.mark.timeout(120)
POLICIES = ("quillmere", "us-guideline", "uk-guideline")
AT = LAST
SAID = st.sampled_from(("chlorhexidine", "no iodine", "penicillin", "strawberries"))
HOW, YES = st.sampled_from(tuple(SEVERITIES)), st.booleans()


def or_none(known: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """Return what may also be left out."""
    return st.one_of(st.none(), known)


def answer(entries: Any, at: datetime = AT, policy: str = "quillmere") -> str:
    """Return what a chart comes to, as text."""
    lines = read_chart(entries, at, load_policy(policy), UTC)
    return json.dumps(chart_as_json(lines, at, UTC))


@settings(max_examples=60, deadline=None)
@given(charts(), st.sampled_from(POLICIES))
def test_any_sound_chart_is_read_and_answered(rows: Any, policy: str) -> None:
    answer(read(*rows), policy=policy)


@settings(max_examples=40, deadline=None)
@given(charts(), st.randoms(use_true_random=False))
def test_the_order_of_the_lines_does_not_matter(rows: Any, chance: Random) -> None:
    shuffled = list(rows)
    chance.shuffle(shuffled)

    assert read(*shuffled) == read(*rows)
    assert answer(read(*shuffled)) == answer(read(*rows))


@settings(max_examples=40, deadline=None)
@given(charts())
def test_what_is_written_again_is_read_as_the_same(rows: Any) -> None:
    entries = read(*rows)
    again = [json.loads(chart_file_line(entry)) for entry in entries]

    assert read(*again) == entries


@settings(max_examples=40, deadline=None)
@given(charts(), st.integers(2, 50))
def test_only_the_order_of_the_ids_counts(rows: Any, step: int) -> None:
    def moved(row: dict[str, Any]) -> dict[str, Any]:
        corrects = row["corrects"]
        return {
            **row,
            "id": row["id"] * step,
            "corrects": corrects and corrects * step,
        }

    assert answer(read(*map(moved, rows))) == answer(read(*rows))


@settings(max_examples=40, deadline=None)
@given(charts(), st.integers(0, 20 * 24 * 60))
def test_an_instant_is_read_as_it_could_be_read_then(rows: Any, minute: int) -> None:
    at = FIRST + (LAST - FIRST) * (minute / (20 * 24 * 60))
    entries = read(*rows)
    known = [e for e in entries if e.written_at <= at]

    assert answer(entries, at) == answer(known, at)


@settings(max_examples=100, deadline=None)
@given(asked())
def test_a_case_that_is_written_is_read_as_the_same_case(given_: Any) -> None:
    case = given_.case
    mass = world_bounds()["mass-g"]
    assume(not faults_of_order(case, "case") and not faults_of_mass(case, "case", mass))
    written = json.loads(json.dumps(case_as_mapping(case)))

    again = case_from_mapping(written, "case", case.zone)

    if case.child.allergies == NOTHING_TOLD:  # words that nobody said in so many words
        again = replace(again, child=replace(again.child, allergies=NOTHING_TOLD))
    assert without_reasons(again) == without_reasons(case)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.builds(SaidAllergy, SAID, or_none(SAID), or_none(HOW), or_none(YES)))
)
def test_what_was_said_of_allergies_is_read_as_it_was_said(
    told: list[SaidAllergy],
) -> None:
    known, allergies = allergies_of(told)
    case = Case(child=Child(sensitivities=known, allergies=allergies))
    assume(not isinstance(known, Unknown))

    assert case_from_mapping(case_as_mapping(case), "case") == case


def test_what_the_line_lacks_a_name_for_is_read_as_it_was_written() -> None:
    done = (("flushed", FIRST), ("rinsed", LAST))
    case = Case(line=Line(in_use=False, tunnelled=True, patency="open", done=done))

    assert case_from_mapping(case_as_mapping(case), "case") == case


def without_reasons(of: Any) -> Any:
    """Return a case in which every unknown fact is merely not given."""
    if isinstance(of, Unknown):
        return NOT_GIVEN
    if isinstance(of, tuple):
        return tuple(map(without_reasons, of))
    if hasattr(of, "__dataclass_fields__"):
        names = of.__dataclass_fields__
        told = {name: without_reasons(getattr(of, name)) for name in names}
        return tuple(told.items()) if not isinstance(of, Case) else type(of)(**told)
    return of
