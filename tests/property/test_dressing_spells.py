"""Laws of a dressing's life, whatever was charted in whatever order."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, timedelta
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.core.watch.made_entries import START, Told

from lumenkeep.core.watch.spells import End, FailureWords, LineSpells, spells_of_child

WORDS = FailureWords(
    frozenset({"damp", "loose", "soiled"}),
    frozenset({"damp", "loose", "soiled", "bleeding"}),
)
ZONES = {"kestrel": UTC}
UNTIL = 20
law = settings(deadline=None, max_examples=80)

days = st.integers(0, 80).map(lambda quarter: quarter / 4)
reasons = st.sampled_from(["planned", "early", "damp", "bleeding", None, "?"])
findings = st.sampled_from(["damp", "loose", "bleeding"])
happenings = st.lists(
    st.one_of(
        st.tuples(st.just("change"), days, reasons),
        st.tuples(st.just("find"), days, findings),
        st.tuples(st.just("cover"), days, findings),
        st.tuples(st.just("out"), days, st.none()),
    ),
    max_size=12,
)


def told_of(drawn) -> Told:
    told = Told()
    told.insert()
    for what, day, word in drawn:
        if what == "change":
            told.change(day, word)
        elif what == "find":
            told.find(day, word)
        elif what == "cover":
            told.add("re-cover", day, findings=[word])
        else:
            told.add("line-removed", day, reason="no longer needed")
    return told


def read(told: Told, shift: timedelta = timedelta()) -> LineSpells:
    until = START + shift + timedelta(days=UNTIL)
    (line,) = spells_of_child(told.entries, until, ZONES, WORDS)
    return line


@law
@given(happenings)
def test_dressings_follow_each_other_and_never_overlap(drawn) -> None:
    spells = read(told_of(drawn)).spells

    assert all(spell.days >= 0 for spell in spells)
    assert all(a.ended_at <= b.put_on_at for a, b in pairwise(spells))
    assert sum(spell.days for spell in spells) <= UNTIL
    assert all(spell.end is not End.STILL_ON for spell in spells[:-1])


@law
@given(happenings, st.randoms(use_true_random=False))
def test_the_order_of_entries_is_irrelevant(drawn, random) -> None:
    told = told_of(drawn)
    before = read(told)
    random.shuffle(told.entries)

    assert read(told) == before


@law
@given(happenings, st.integers(-3000, 3000))
def test_shifting_all_instants_shifts_the_answer_and_nothing_else(drawn, hours) -> None:
    told, shift = told_of(drawn), timedelta(hours=hours)
    before = read(told)
    told.entries = [
        replace(e, happened_at=e.happened_at + shift, written_at=e.written_at + shift)
        for e in told.entries
    ]
    after = read(told, shift)

    assert [(s.days, s.end, s.finding, s.entries) for s in after.spells] == [
        (s.days, s.end, s.finding, s.entries) for s in before.spells
    ]
    assert [s.put_on_at for s in after.spells] == [
        s.put_on_at + shift for s in before.spells
    ]


@law
@given(happenings, days)
def test_bleeding_seen_and_other_checks_change_nothing(drawn, day) -> None:
    told = told_of(drawn)
    before = read(told)
    told.find(day, "bleeding")
    told.add("site-check", day)

    assert read(told) == before


@law
@given(happenings)
def test_a_dressing_fails_only_where_the_chart_says_so(drawn) -> None:
    for spell in read(told_of(drawn)).spells:
        assert (spell.end is End.FAILED) == (spell.finding is not None)
        assert spell.finding is None or spell.finding in WORDS.changed
        assert len(spell.entries) >= (1 if spell.end is End.STILL_ON else 2)
