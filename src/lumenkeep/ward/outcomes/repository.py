"""The book: hours of the count, counts by hand, baselines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.errors import Fault
from lumenkeep.ward.chart.store.repository import SystemClock
from lumenkeep.ward.outcomes.models import BaselineRow, HandCount, WardHour
from lumenkeep.ward.outcomes.records import (
    Baseline,
    CountHour,
    ManualCount,
    NewBaseline,
    NewCount,
    ReferenceStratum,
)
from lumenkeep.ward.site.written_once import all_or_nothing

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence
    from contextlib import AbstractContextManager
    from datetime import date, time

    from lumenkeep.ward.site.people import Clock


ENTERED_ALREADY = Fault(
    "outcomes-entered-already",
    "Somebody has entered this already, or corrected the same entry.",
    "entry",
    "look at the page again; if theirs is wrong, correct that one",
)
NOT_WRITTEN = Fault(
    "outcomes-not-written",
    "This could not be written; nothing was saved.",
    "entry",
    "send it again in a minute; if it fails again, keep it on paper",
)


class OutcomeRepository:
    """What people enter beside the chart; corrections by a new entry.

    Parameters
    ----------
    clock
        Tells when something is entered.
    """

    def __init__(self, clock: Clock | None = None) -> None:
        self._clock: Clock = clock or SystemClock()

    def hours(self, wards: Collection[str]) -> Sequence[CountHour]:
        """Return every hour ever set for these wards, oldest entry first; one query."""
        rows = WardHour.objects.filter(ward__in=wards).order_by("id")
        return [_hour(row) for row in rows]

    def counts(
        self, wards: Collection[str], first: date, last: date
    ) -> Sequence[ManualCount]:
        """Return every count of these days, corrected ones too, oldest first; one query."""
        rows = HandCount.objects.filter(ward__in=wards, on__gte=first, on__lte=last)
        return [_count(row) for row in rows.order_by("id")]

    def baselines(self, ward: str) -> Sequence[Baseline]:
        """Return every baseline of a ward, corrected ones too, oldest first; one query."""
        rows = BaselineRow.objects.filter(ward=ward).order_by("id")
        return [_baseline(row) for row in rows]

    def set_hour(
        self, ward: str, starts_on: date, hour: time, unit: str, source: str, by: str
    ) -> CountHour:
        """Write the hour of a ward's count.

        Raises
        ------
        StoreError
            ``outcomes-not-written``: nothing was written.
        """
        with _written():
            row = WardHour.objects.create(
                ward_id=ward,
                starts_on=starts_on,
                hour=hour,
                unit=unit,
                source=source,
                by=by,
                written_at=self._clock.now(),
            )
        return _hour(row)

    def add_count(self, count: NewCount, submission: str) -> ManualCount:
        """Write a count; a form sent twice is written once.

        Raises
        ------
        StoreError
            ``outcomes-entered-already``: the day has a count; correct that one.
            ``outcomes-sent-otherwise``: the same form was saved when it said another
            thing. ``outcomes-not-written``: the database failed. Nothing was written.
        """
        with _written():
            if before := HandCount.of_form(submission).first():
                return _count(before)
            HandCount.refuse_another_telling(
                submission, lambda _: _sent_otherwise("count")
            )
            row = HandCount.objects.create(
                ward_id=count.ward,
                on=count.on,
                children=count.children,
                with_line=count.with_line,
                temporary=count.temporary,
                permanent=count.permanent,
                strata={key: list(pair) for key, pair in count.strata.items()},
                note=count.note,
                by=count.by,
                written_at=self._clock.now(),
                corrects_id=count.corrects,
                submission=submission,
            )
        return _count(row)

    def add_baseline(self, baseline: NewBaseline, submission: str) -> Baseline:
        """Write a baseline; a form sent twice is written once.

        Raises
        ------
        StoreError
            ``outcomes-entered-already``: somebody has corrected the same one.
            ``outcomes-sent-otherwise``: the same form was saved when it said another
            thing. ``outcomes-not-written``: the database failed. Nothing was written.
        """
        with _written():
            if before := BaselineRow.of_form(submission).first():
                return _baseline(before)
            BaselineRow.refuse_another_telling(
                submission, lambda _: _sent_otherwise("baseline")
            )
            row = BaselineRow.objects.create(
                ward_id=baseline.ward,
                kind=baseline.kind,
                first=baseline.first,
                last=baseline.last,
                predicted=baseline.predicted,
                strata=[[s.stratum, s.events, s.days] for s in baseline.strata],
                source=baseline.source,
                by=baseline.by,
                written_at=self._clock.now(),
                corrects_id=baseline.corrects,
                submission=submission,
            )
        return _baseline(row)


def _sent_otherwise(what: str) -> Fault:
    """Return that a form was saved when it said something else."""
    return Fault(
        "outcomes-sent-otherwise",
        f"This {what} was saved before; what the form says now is not.",
        "form",
        f"look at the {what} on the page; for another one open the form anew",
    )


def _written() -> AbstractContextManager[None]:
    return all_or_nothing(NOT_WRITTEN, refused=lambda _: ENTERED_ALREADY)


def _hour(row: WardHour) -> CountHour:
    return CountHour(
        row.pk, row.ward_id, row.starts_on, row.hour, row.unit, row.source, row.by,
        row.written_at,
    )  # fmt: skip


def _count(row: HandCount) -> ManualCount:
    strata = {key: (pair[0], pair[1]) for key, pair in row.strata.items()}
    return ManualCount(
        row.ward_id, row.on, row.children, row.with_line, row.by, row.temporary,
        row.permanent, strata, row.note, row.corrects_id,
        id=row.pk, written_at=row.written_at,
    )  # fmt: skip


def _baseline(row: BaselineRow) -> Baseline:
    strata = tuple(ReferenceStratum(*stratum) for stratum in row.strata)
    return Baseline(
        row.ward_id, row.kind, row.first, row.last, row.source, row.by, row.predicted,
        strata, row.corrects_id, id=row.pk, written_at=row.written_at,
    )  # fmt: skip
