"""How long dressings hold, group by group."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from datetime import date, datetime, timedelta
from importlib.resources import files

import pytest
from tests.unit.core.watch.made_entries import START, Told

from lumenkeep.core.watch.dressing_life import OfHundred, of_hundred
from lumenkeep.core.watch.life_plan import life_plan
from lumenkeep.core.watch.spells import End
from lumenkeep.core.watch.survival.limits import Estimate
from lumenkeep.demo.hospital import WARDS
from lumenkeep.errors import InputError
from lumenkeep.ward.outcomes.dressing_life import (
    DressingLife,
    LifeQuery,
    dressing_life,
    shipped_life_plan,
)

AT = START + timedelta(days=60)


class Children:
    """Plays the chart, child by child."""

    def __init__(self, *told: Told) -> None:
        self.told = told

    def entries_by_child(self, kinds, **which):
        return {t.child: t.entries for t in self.told}


def child(number: int, *ends: tuple[float, str | None], **inserted) -> Told:
    """Return a child whose dressings lasted so many days and ended so."""
    told = Told(f"c-{number}", f"l-{number}")
    told.insert(**inserted)
    day = 0.0
    for lasted, because in ends:
        day += lasted
        told.change(day, because, dressing=inserted.get("dressing", "transparent"))
    told.add("line-removed", day + 6.5, reason="no longer needed")
    return told


def life(*told: Told, at: datetime = AT, **asked) -> DressingLife:
    asked.setdefault("wards", ("kestrel", "wren", "heron"))
    return dressing_life(Children(*told), WARDS, LifeQuery(**asked), at)


def test_planned_changes_and_removals_are_no_failures() -> None:
    found = life(child(1, (6, "planned"), (2, "damp"), (6, "planned"))).whole

    assert found.ends[End.FAILED] == 1
    assert found.ends[End.PLANNED] == 2
    assert found.ends[End.LINE_OUT] == 1
    assert found.failed.value == pytest.approx(0.25)


def test_day_seven_is_not_before_day_seven() -> None:
    at_seven = life(child(1, (7, "damp"), (6, "planned"))).whole
    sooner = life(child(1, (6.9, "damp"), (6, "planned"))).whole

    assert at_seven.failed.value == 0
    assert sooner.failed.value == pytest.approx(1 / 3)


def test_gauze_is_asked_until_its_own_longest_stay() -> None:
    told = [child(1, (1.5, "soiled"), (3, "damp"), dressing="gauze"), child(2)]
    found = life(*told, split="kind")

    assert {g.key: g.horizon for g in found.groups} == {"gauze": 2, "transparent": 7}
    assert found.groups[0].failed.value == pytest.approx(1 / 3)
    assert life(*told, kind="gauze").whole.horizon == 2
    assert life(*told, split="kind", horizon=4).groups[0].horizon == 4


def test_uncharted_reasons_are_an_end_of_their_own_and_the_worst_case_is_said() -> None:
    told = child(1, (2, "damp"), (3, None), (3, "early"), (6, "planned"))
    found = life(told).whole

    assert found.failed.value == pytest.approx(1 / 5)
    assert found.if_all_had_failed.value == pytest.approx(3 / 5)
    assert (found.ends[End.UNKNOWN], found.ends[End.EARLY]) == (1, 1)


def test_without_uncharted_reasons_there_is_no_worst_case() -> None:
    assert life(child(1, (2, "damp"))).whole.if_all_had_failed is None


def test_no_failure_seen_is_no_promise() -> None:
    found = life(child(1, (6, "planned"), (6, "planned"), (6, "planned"))).whole

    assert (found.failed.value, found.failed.low) == (0, 0)
    assert found.failed.high == pytest.approx(1 - 0.025 ** (1 / 4))


def test_nothing_watched_that_long_gives_no_answer() -> None:
    found = life(child(1, (6, "planned")), at=START + timedelta(days=5)).whole

    assert found.failed.value is None
    assert (found.watched_to, found.undecided) == (5, 1)


def test_little_undecided_gives_an_answer_with_that_in_its_upper_limit() -> None:
    many = [child(n, *[(6, "planned")] * 3, (3, "damp")) for n in range(1, 11)]
    late = Told("c-99", "l-99")
    late.insert()
    late.entries = [
        replace(e, happened_at=AT - timedelta(days=6.6)) for e in late.entries
    ]
    found = life(*many, late).whole

    assert found.ends[End.STILL_ON] == 1
    assert found.failed.value == pytest.approx(10 / 51)
    assert found.undecided == pytest.approx(1 / 51)
    assert found.failed.high > 11 / 51


def test_dressings_of_one_child_tell_less_than_those_of_many() -> None:
    apart = life(
        *[child(n, *[(6, "planned")] * 3) for n in range(1, 6)],
        *[child(n, (2, "damp"), (6, "planned"), (6, "planned")) for n in range(6, 11)],
    ).whole
    heaped = life(
        *[child(n, *[(6, "planned")] * 3) for n in range(1, 10)],
        child(10, *[(2, "damp")] * 5),
    ).whole

    assert apart.ends[End.FAILED] == heaped.ends[End.FAILED] == 5
    assert heaped.failed.high - heaped.failed.low > apart.failed.high - apart.failed.low


def test_groups_are_compared_by_the_test_of_the_plan() -> None:
    bad = [child(n, *[(2, "damp")] * 3, site="femoral") for n in range(1, 6)]
    good = [child(n, *[(6, "planned")] * 5, (5, "loose")) for n in range(6, 11)]
    found = life(*bad, *good, split="site")
    comparison = found.comparison

    assert comparison.keys == ("upper-arm", "femoral")
    assert comparison.test.weights == shipped_life_plan().test.weights
    assert comparison.test.p_value < 0.001
    assert comparison.model.effects[0].name == "femoral"
    assert comparison.model.effects[0].ratio > 5


def test_groups_too_small_are_shown_but_not_compared() -> None:
    found = life(child(1, (2, "damp")), child(2, site="femoral"), split="site")

    assert len(found.groups) == 2
    assert found.comparison is None


def test_the_unknown_group_stands_last_and_is_not_compared() -> None:
    told = [child(n, *[(2, "damp")] * 4, site=None) for n in range(1, 4)]
    told += [child(n, *[(3, "damp")] * 2) for n in range(4, 7)]
    told += [child(n, *[(3, "damp")] * 2, site="femoral") for n in range(7, 10)]
    found = life(*told, split="site")

    assert found.groups[-1].key is None
    assert found.comparison.left_out == (None,)


def test_age_and_season_are_those_of_the_day_it_was_put_on() -> None:
    young = child(1, (6, "planned"))
    young.entries = [
        replace(e, body={"born": (START - timedelta(days=25)).isoformat()})
        if e.kind == "birth"
        else e
        for e in young.entries
    ]
    by_age = life(young, split="age").groups
    by_season = life(young, split="season").groups

    assert {g.key for g in by_age} == {"under 28 days", "28 days to 1 year"}
    assert {g.key for g in by_season} == {"March to May"}


def test_a_birth_that_leaves_two_ages_open_has_no_band() -> None:
    told = Told()
    told.insert()
    told.entries = [
        replace(e, body={"born": "2026-02-02"}) if e.kind == "birth" else e
        for e in told.entries
    ]

    assert [g.key for g in life(told, split="age").groups] == [None]


def test_wards_and_days_asked_for_bound_what_is_counted() -> None:
    told = child(1, (6, "planned"), (6, "planned"))
    second = (START + timedelta(days=6)).date()

    assert life(told, wards=("heron",)).whole is None
    assert len(life(told, since=second).whole.spells) == 2
    assert len(life(told, before=second).whole.spells) == 1


def test_dressings_on_no_ward_are_said() -> None:
    told = Told()
    told.add("line-inserted", 0, dressing="transparent")
    found = life(told)

    assert (found.whole, found.no_ward) == (None, 1)
    assert life(told, since=(START + timedelta(days=2)).date()).no_ward == 0


def test_what_cannot_be_asked_is_refused_with_every_fault() -> None:
    with pytest.raises(InputError) as caught:
        life(child(1), split="colour", horizon=0.0)

    assert [f.code for f in caught.value.faults] == [
        "life-bad-split",
        "life-bad-horizon",
    ]


def test_the_curve_is_read_every_quarter_of_a_day_and_never_falls() -> None:
    found = life(child(1, (2, "damp"), (6, "planned"), (4.2, "loose"))).whole

    assert [point.day for point in found.curve[:3]] == [0, 0.25, 0.5]
    values = [point.failed.value for point in found.curve]
    assert values == sorted(values)
    assert values[-1] == pytest.approx(found.failed.value)


def test_an_upper_limit_above_0_never_reads_as_0() -> None:
    assert of_hundred(Estimate(0.184, 0.131, 0.236, 9)) == OfHundred(18, 13, 24)
    assert of_hundred(Estimate(0.0, 0.0, 0.003, 900)) == OfHundred(0, 0, 1)
    assert of_hundred(Estimate(None, None, None, 0)) is None


def test_the_shipped_plan_holds_together() -> None:
    plan = shipped_life_plan()

    assert plan.written_on == date(2026, 11, 25)
    assert sorted(plan.seasons) == list(range(1, 13))
    assert [plan.age_band(days) for days in (0, 27.9, 28, 400, 6000)] == [
        "under 28 days",
        "under 28 days",
        "28 days to 1 year",
        "1 to 5 years",
        "13 years and over",
    ]
    assert (plan.horizon(), plan.horizon("gauze")) == (7, 2)


@pytest.mark.parametrize(
    ("table", "changed", "says"),
    [
        ("test", {"source": "nobody"}, "[test] names no source"),
        ("horizon", {"unit": "hours"}, "a horizon is in days"),
    ],
)
def test_a_plan_that_does_not_hold_together_is_refused(table, changed, says) -> None:
    path = files("lumenkeep.core.watch") / "plans" / "dressing-life.toml"
    tables = tomllib.loads(path.read_text("utf-8"))
    tables[table] |= changed

    with pytest.raises(ValueError, match=re.escape(says)):
        life_plan(tables)
