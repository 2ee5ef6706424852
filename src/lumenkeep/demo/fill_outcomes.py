"""Give the demo hospital its hours of the count, counts by hand, and one baseline."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from random import Random
from typing import TYPE_CHECKING

from lumenkeep.ward.outcomes.count_days import count_days
from lumenkeep.ward.outcomes.days import DjangoDays
from lumenkeep.ward.outcomes.models import HandCount
from lumenkeep.ward.outcomes.records import NewBaseline, ReferenceStratum
from lumenkeep.ward.outcomes.repository import DjangoBook

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.outcomes.daily_count import CountedDay
    from lumenkeep.ward.site.people import WardRecord

UNITS = {"kestrel": "other", "wren": "newborn", "heron": "specialty"}
RULE = "Rule of the invented ward"
BY = "s-agate"
COUNTED_BY_HAND = {"kestrel": 0.1, "heron": 0.22}
"""On which share of days the hand and the chart differ by one; made up."""
BACK = timedelta(days=126)
TABLE = "Invented reference rates of Quillmere, for the demo alone"


def fill_outcomes(wards: Sequence[WardRecord], now: datetime) -> None:
    """Write hours, counts by hand and a baseline, as of ``now`` (UTC)."""
    book = DjangoBook()
    for ward in wards:
        book.set_hour(ward.key, date(2024, 1, 1), time(6), UNITS[ward.key], RULE, BY)
    today = now.astimezone(wards[0].zone).date()
    first = (today - BACK).replace(day=1) + timedelta(days=31)
    first = first.replace(day=1)
    counted = count_days(DjangoDays(), book, wards, first, today, now)
    for key, share in COUNTED_BY_HAND.items():
        _count_by_hand(key, counted[key], share, now)
    book.add_baseline(
        NewBaseline(
            "heron", "infections", date(today.year - 1, 1, 1),
            date(today.year, 12, 31), TABLE, BY,
            strata=(
                ReferenceStratum("temporary", 21.0, 12_000.0),
                ReferenceStratum("permanent", 9.0, 11_500.0),
            ),
        ),
        "demo-baseline",
    )  # fmt: skip


def _count_by_hand(
    ward: str, days: Sequence[CountedDay], share: float, now: datetime
) -> None:
    """Write what somebody counted: as the chart, but for a child missed now and then."""
    rng = Random(f"by-hand/{ward}")  # noqa: S311  invented
    rows = []
    for day in days:
        if day.count is None or day.at is None:
            continue
        # Later months drift, so that on one ward the two fall apart.
        missed = rng.random() < share
        with_line = max(0, day.count.with_line - missed)
        if ward == "heron" and day.on.month % 2 and rng.random() < share * 4:
            with_line = max(0, with_line - 1)
        rows.append(
            HandCount(
                ward_id=ward,
                on=day.on,
                children=day.count.children,
                with_line=with_line,
                by=BY,
                written_at=min(now, day.at + timedelta(minutes=25)),
                submission=f"demo-{ward}-{day.on}",
            )
        )
    HandCount.objects.bulk_create(rows)
