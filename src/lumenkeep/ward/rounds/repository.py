"""The book of looks, which is only ever added to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.rounds.look import LineLook
from lumenkeep.errors import Fault, StoreError
from lumenkeep.ward.chart.store.repository import SystemClock
from lumenkeep.ward.rounds.models import LookRow
from lumenkeep.ward.site.written_once import all_or_nothing

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import datetime

    from lumenkeep.ward.rounds.records import NewLook
    from lumenkeep.ward.site.people import Clock


SENT_OTHERWISE = Fault(
    "round-sent-otherwise",
    "This look was kept before; what the form says now is not.",
    "form",
    "open the look from the round and put it right; for another look open the form "
    "anew",
)
NOT_WRITTEN = Fault(
    "round-not-written",
    "The look could not be written; nothing of it was saved.",
    "round",
    "send it again in a minute; if it fails again, note it on paper and call whoever "
    "runs the server",
)


class RoundRepository:
    """The looks of all rounds.

    Parameters
    ----------
    clock
        Tells when a look is written.
    """

    def __init__(self, clock: Clock | None = None) -> None:
        self._clock: Clock = clock or SystemClock()

    def looks(
        self, wards: Collection[str], start: datetime, end: datetime
    ) -> Sequence[LineLook]:
        """Return the looks that count, from ``start`` up to ``end`` (UTC).

        Those put right by a later one are left out; in the order in which they were
        made; one query.
        """
        rows = LookRow.standing().filter(ward__in=wards, at__gte=start, at__lt=end)
        return [_look(row) for row in rows.order_by("at", "id")]

    def look(self, number: int) -> LineLook | None:
        """Return one look, corrected or not; None if there is none of that number."""
        row = LookRow.objects.filter(pk=number).first()
        return None if row is None else _look(row)

    def add(self, look: NewLook, submission: str) -> LineLook:
        """Write a look; the same form sent twice is written once.

        Raises
        ------
        StoreError
            ``round-corrected-already``: somebody has corrected that look.
            ``round-sent-otherwise``: the same form was kept when it said another thing.
            ``round-not-written``: the database failed. Nothing was written.
        """
        with all_or_nothing(NOT_WRITTEN):
            before = LookRow.of_form(submission).first()
            if before is not None:
                return _look(before)
            LookRow.refuse_another_telling(submission, lambda _: SENT_OTHERWISE)
            _refuse_corrected(look.corrects)
            return _look(self._written(look, submission))

    def _written(self, look: NewLook, submission: str) -> LookRow:
        return LookRow.objects.create(
            ward_id=look.ward,
            line_id=look.line,
            at=look.at,
            written_at=self._clock.now(),
            observer=look.observer,
            from_unit=look.from_unit,
            observed=look.observed or "",
            answers=dict(look.answers),
            note=look.note,
            policy=look.policy,
            corrects_id=look.corrects,
            by=look.by,
            submission=submission,
        )

    def observed(self, numbers: Collection[int]) -> Mapping[int, str]:
        """Return whose work was watched, by number of the look; for educators only."""
        rows = LookRow.objects.filter(pk__in=numbers).exclude(observed="")
        return dict(rows.values_list("pk", "observed"))

    def notes(self, numbers: Collection[int]) -> Mapping[int, str]:
        """Return the notes of looks that have one, by number of the look."""
        rows = LookRow.objects.filter(pk__in=numbers).exclude(note="")
        return dict(rows.values_list("pk", "note"))


def _look(row: LookRow) -> LineLook:
    return LineLook(
        row.pk,
        row.line_id,
        row.ward_id,
        row.at,
        row.observer,
        row.from_unit,
        row.answers,
    )


def _refuse_corrected(number: int | None) -> None:
    if number is None or not LookRow.corrections_of([number]).exists():
        return
    raise StoreError(
        Fault(
            "round-corrected-already",
            "This look has been corrected already.",
            "corrects",
            "open the round again and correct the newest one",
        )
    )
