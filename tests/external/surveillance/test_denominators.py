"""The small worked figures N1 to N8, all computed by us; R26 to R29."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from lumenkeep.core.outcomes.admissions import admissions_of
from lumenkeep.core.outcomes.counting import (
    DayCount,
    compare_counts,
    predicted_from_strata,
    utilisation_ratio,
    weekly_sample,
)
from lumenkeep.core.outcomes.daily_count import (
    ChildThere,
    LineThere,
    count_children,
    strata_of_day,
)
from lumenkeep.core.outcomes.line_days import counts_of
from lumenkeep.core.outcomes.protocol_year import protocol_year
from lumenkeep.core.outcomes.statistics.counts import rate_per_1000
from lumenkeep.core.outcomes.statistics.ratios import standardised_ratio
from lumenkeep.core.outcomes.timeline import Moment, Timeline, TrackedLine, WardStay
from lumenkeep.ward.outcomes.figures import CHART, Period, UsedDay, row_of

pytestmark = pytest.mark.external

PROTOCOL = protocol_year("2025")
FIRST = date(2025, 4, 1)


def test_n1_rate() -> None:
    assert round(rate_per_1000(4, 1250).value, 2) == 3.20


def test_n2_utilisation() -> None:
    assert utilisation_ratio(1250, 2000) == 0.625
    assert utilisation_ratio(10, 0) is None


def tuesdays(pairs: list[tuple[int, int]]) -> list[DayCount]:
    return [
        DayCount(FIRST + timedelta(weeks=n), children, with_line)
        for n, (children, with_line) in enumerate(pairs)
    ]


def test_n3_weekly_sample() -> None:
    found = weekly_sample(
        tuesdays([(20, 12), (22, 13), (18, 9), (20, 14)]), 610, PROTOCOL
    )

    assert found is not None
    assert FIRST.isoweekday() == 2
    assert (found.share, round(found.line_days), found.cautions) == (0.6, 366, ())


def test_a_small_unit_may_not_sample() -> None:
    found = weekly_sample(tuesdays([(20, 2)] * 4), 610, PROTOCOL)

    assert found is not None
    assert found.cautions == ("The unit has fewer than 75 line-days a month.",)


def test_n4_electronic_beside_manual() -> None:
    found = compare_counts([(300, 312), (300, 314), (300, 318)], PROTOCOL)

    assert [round(x or 0, 1) for x in found.percent] == [4.0, 4.7, 6.0]
    assert found.is_near == (True, True, False)
    assert not found.may_replace
    assert compare_counts([(300, 312)] * 3, PROTOCOL).may_replace


def child(*kinds: str, grams: float | None = None) -> ChildThere:
    lines = tuple(LineThere(kind, kind, is_central=True, entry=2) for kind in kinds)
    return ChildThere("c", 1, grams, lines)


def test_n5_birthweight_groups() -> None:
    told = [(740, 1), (750, 0), (751, 2), (1500, 1), (2501, 2)]
    children = [child(*["picc"] * lines, grams=grams) for grams, lines in told]

    assert strata_of_day(children, PROTOCOL) == {
        "≤750 g": (2, 1),
        "751–1000 g": (1, 1),
        "1001–1500 g": (1, 1),
        ">2500 g": (1, 1),
    }


def test_n6_nothing_observed() -> None:
    found = standardised_ratio(0, 1.5)

    assert (found.value, found.mid_p.low) == (0.0, None)
    assert round(found.mid_p.high or 0, 3) == 1.997


def test_n7_too_few_predicted() -> None:
    found = standardised_ratio(2, 0.9)

    assert (found.value, found.observed, found.predicted) == (None, 2, 0.9)


def test_n8_two_counts_of_one_port() -> None:
    """The other count, six line-days, is told in `tests/unit/ward/outcomes`."""
    port = TrackedLine(
        "p",
        "port",
        "great-vessel",
        Moment(FIRST),
        Moment(FIRST + timedelta(days=3)),
        access_is_told=True,
        removed=None,
    )
    last = FIRST + timedelta(days=5)
    timeline = Timeline(
        "2025",
        stays=(WardStay("ward", True, Moment(FIRST), Moment(last)),),
        lines=(port,),
    )
    [admission] = admissions_of(timeline)
    [count] = counts_of(timeline, admission, PROTOCOL)

    assert count.line_day(last) == 3


def test_several_lines_are_one_line_day_and_both_kinds_are_temporary() -> None:
    children = [child("port", "picc"), child("port"), child()]
    found = count_children(FIRST, children, PROTOCOL)

    assert found == DayCount(FIRST, 3, 2, temporary=1, permanent=1)


def test_a_missing_day_is_shown() -> None:
    on = [FIRST + timedelta(days=n) for n in range(3)]
    counts = [DayCount(on[0], 10, 4), None, DayCount(on[2], 11, 5)]
    days = [
        UsedDay(day, count, CHART, "" if count else "silent", ())
        for day, count in zip(on, counts, strict=True)
    ]
    found = row_of(Period("", on[0], on[2]), days, ())

    assert (found.child_days, found.line_days) == (21, 9)
    assert [day.on for day in found.missing] == [on[1]]


def test_published_stratified_prediction() -> None:
    """Render and others 2011, table 4 (seen): every printed figure."""
    observed = [59, 71, 37, 127, 94]
    strata = [
        (33568, 1474, 699300),
        (43683, 1130, 755437),
        (18403, 2097, 911476),
        (68953, 1683, 729989),
        (51175, 876, 436409),
    ]
    total, each = predicted_from_strata(strata)

    assert [round(e, 2) for e in each] == [70.76, 65.34, 42.34, 158.97, 102.72]
    assert round(total, 2) == 440.13
    ratios = [
        standardised_ratio(o, e).value for o, e in zip(observed, each, strict=True)
    ]
    assert [round(r or 0, 2) for r in ratios] == [0.83, 1.09, 0.87, 0.80, 0.92]
    assert round(standardised_ratio(sum(observed), total).value or 0, 2) == 0.88
