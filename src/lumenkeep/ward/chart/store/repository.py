"""The chart in the database: entries appended, lines read from the projection."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from django.db.models import Max, Q

from lumenkeep.core.entries import is_about, kind_of
from lumenkeep.errors import Fault, StoreError
from lumenkeep.ward.chart.models import (
    Child,
    EntryRow,
    LineNow,
    LinePlace,
    PolicyVersion,
    StaffProfile,
    Ward,
)
from lumenkeep.ward.chart.records import Draft, LineRecord
from lumenkeep.ward.chart.store.follow import tell_followers
from lumenkeep.ward.chart.store.policies import record_version
from lumenkeep.ward.chart.store.projection import fold, project, ward_zones
from lumenkeep.ward.chart.store.rows import (
    entries_of,
    staff_records,
    ward_record,
    zone_named,
)
from lumenkeep.ward.chart.store.state_json import from_json
from lumenkeep.ward.site.written_once import all_or_nothing

if TYPE_CHECKING:
    from collections.abc import Sequence
    from contextlib import AbstractContextManager

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.site.people import Clock, StaffRecord, WardRecord


NOT_WRITTEN = Fault(
    "chart-not-written",
    "The chart could not be written; nothing of this was saved.",
    "chart",
    "send it again in a minute; if it fails again, write on paper and call whoever "
    "runs the server",
)


class SystemClock:
    """The machine's clock."""

    def now(self) -> datetime:
        """Return the present instant (UTC)."""
        return datetime.now(UTC)


class ChartRepository:
    """The append-only chart in the database.

    Parameters
    ----------
    clock
        Tells when an entry is written.
    """

    def __init__(self, clock: Clock | None = None) -> None:
        self._clock: Clock = clock or SystemClock()

    def wards(self) -> Sequence[WardRecord]:
        """Return all wards, in the order shown; one query."""
        return [ward_record(row) for row in Ward.objects.all()]

    def ward(self, key: str) -> WardRecord | None:
        """Return one ward; None if there is none of that key."""
        row = Ward.objects.filter(key=key).first()
        return None if row is None else ward_record(row)

    def lines_in(self, ward: str | None) -> Sequence[LineRecord]:
        """Return the lines now in place on one ward, or on all (None); one query."""
        rows = LineNow.objects.order_by("ward__order", "bed", "line_id")
        if ward is not None:
            rows = rows.filter(ward=ward)
        found, outdated = [], []
        for key, child, name, ward_key, zone, bed, side, text, last in rows.values_list(
            "line_id",
            "line__child_id",
            "line__child__display_name",
            "ward_id",
            "ward__zone",
            "bed",
            "side",
            "state",
            "last_entry",
        ):
            state = from_json(text, zone_named(zone or "UTC"))
            if state is None:
                outdated.append(key)
                continue
            found.append(
                LineRecord(
                    key, child, name, ward_key or "", bed, side or None, state, last
                )
            )
        if outdated:
            project(outdated)
            return self.lines_in(ward)
        return found

    def beds_in(self, ward: str) -> Sequence[tuple[str, str]]:
        """Return bed and child of each line now in place on a ward; one query."""
        rows = LineNow.objects.filter(ward=ward)
        return list(rows.values_list("bed", "line__child_id"))

    def line(self, key: str) -> LineRecord | None:
        """Return one line, in place or removed, folded from its entries; three queries.

        None if there is none of that key.
        """
        row = LinePlace.objects.select_related("child").filter(key=key).first()
        if row is None:
            return None
        folded = fold(self._entries(row), ward_zones())
        if folded is None:
            return None
        where = folded.place
        return LineRecord(
            key,
            row.child_id,
            row.child.display_name,
            where.ward or "",
            where.bed or "",
            where.side,
            folded.state,
            folded.last_entry,
        )

    def entries(self, line: str) -> Sequence[Entry]:
        """Return every entry of the line and of its child, corrected ones included."""
        row = LinePlace.objects.filter(key=line).first()
        return [] if row is None else self._entries(row)

    def _entries(self, row: LinePlace) -> list[Entry]:
        return entries_of(
            EntryRow.objects.filter(Q(line=row.key) | Q(line=None, child=row.child_id))
        )

    def newest_entry(self) -> int:
        """Return the id of the newest entry on any ward; 0 when there is none."""
        return EntryRow.objects.aggregate(newest=Max("id"))["newest"] or 0

    def written(self, submission: str | None) -> Sequence[Entry]:
        """Return what was written for a form's key; nothing for None or a new key.

        Raises
        ------
        StoreError
            ``chart-sent-otherwise``: the same form was written when it said another
            thing.
        """
        if submission is None:
            return []
        if before := entries_of(EntryRow.of_form(submission)):
            return before
        EntryRow.refuse_another_telling(submission, _sent_otherwise)
        return []

    def one_at_a_time(self) -> AbstractContextManager[None]:
        """Hold the write lock for a block; all that it writes is kept, or nothing.

        Raises
        ------
        StoreError
            ``chart-not-written``: the database failed, or was locked for too long.
        """
        return all_or_nothing(NOT_WRITTEN)

    def append(
        self,
        drafts: Sequence[Draft],
        policy: str,
        *,
        ward: str | None = None,
        submission: str | None = None,
    ) -> Sequence[Entry]:
        """Write entries, all or none, bring the lines up to date, and return them.

        Parameters
        ----------
        drafts
            Of one form or message.
        policy
            Name of the ward's policy set; its version is recorded with each entry.
        ward
            Key of the ward; a version approved for it goes before the set it names.
        submission
            Key of the form that was sent. A key that was written before writes
            nothing, and the entries of that time are returned.

        Raises
        ------
        StoreError
            ``chart-entry-refused``: kind, child, line or correction do not fit.
            ``chart-corrected-already``: somebody has corrected that entry.
            ``chart-not-written``: the database failed. Nothing was written.
        """
        for draft in drafts:
            _refuse_unfit(draft)
        strangers = _refused("it names what is not on the chart")
        with all_or_nothing(NOT_WRITTEN, refused=lambda _: strangers):
            if before := self.written(submission):
                return before
            return self._written(drafts, policy, ward, submission)

    def _written(
        self,
        drafts: Sequence[Draft],
        policy: str,
        ward: str | None,
        submission: str | None,
    ) -> list[Entry]:
        now = self._clock.now()
        version = record_version(policy, now, ward)
        _refuse_strangers(drafts)
        _refuse_corrections(drafts)
        rows = EntryRow.objects.bulk_create(
            [
                _row(draft, now, version, submission, part)
                for part, draft in enumerate(drafts)
            ]
        )
        touched = {draft.line for draft in drafts if draft.line is not None}
        children = {draft.child for draft in drafts if draft.line is None}
        touched |= set(
            LinePlace.objects.filter(child__in=children).values_list("key", flat=True)
        )
        project(touched)
        tell_followers(touched, self._clock)
        return entries_of(EntryRow.objects.filter(pk__in=[row.pk for row in rows]))


class StaffRepository:
    """The people who may stand at the bedside."""

    def people(self, ward: str | None) -> Sequence[StaffRecord]:
        """Return the staff of one ward and of no ward, or all (None); one query."""
        rows = StaffProfile.objects.order_by("display_name")
        if ward is not None:
            rows = rows.filter(Q(ward=ward) | Q(ward=None))
        return staff_records(rows)


def _row(
    draft: Draft,
    now: datetime,
    version: PolicyVersion,
    submission: str | None,
    part: int,
) -> EntryRow:
    return EntryRow(
        child_id=draft.child,
        line_id=draft.line,
        kind=draft.kind,
        happened_at=draft.happened_at,
        written_at=now,
        by=draft.by,
        policy=version,
        corrects_id=draft.corrects,
        body=dict(draft.body),
        submission=submission,
        part=part,
    )


def _sent_otherwise(first: EntryRow) -> Fault:
    return Fault(
        "chart-sent-otherwise",
        f"This form was charted before, as entry {first.pk}; what it says now is not.",
        "form",
        f"look at entry {first.pk} and correct it if it is wrong; "
        "for anything else open the form anew",
    )


def _refuse_unfit(draft: Draft) -> None:
    kind = kind_of(draft.kind)
    if kind is None:
        raise StoreError(_refused(f"'{draft.kind}' is no kind of entry"))
    if not is_about(kind, draft.line):
        raise StoreError(_refused(f"'{draft.kind}' is charted on the wrong thing"))


def _refuse_strangers(drafts: Sequence[Draft]) -> None:
    """Refuse an entry of a child or line that is not there, or a line of another."""
    children = {draft.child for draft in drafts}
    if Child.objects.filter(key__in=children).count() != len(children):
        raise StoreError(_refused("there is no such child"))
    lines = {draft.line for draft in drafts if draft.line is not None}
    owners = dict(
        LinePlace.objects.filter(key__in=lines).values_list("key", "child_id")
    )
    if any(d.line is not None and owners.get(d.line) != d.child for d in drafts):
        raise StoreError(_refused("the line is not this child's"))


def _refuse_corrections(drafts: Sequence[Draft]) -> None:
    """Refuse to correct an entry twice, or one of another child, line or kind."""
    named = {d.corrects: d for d in drafts if d.corrects is not None}
    if not named:
        return
    for again in EntryRow.corrections_of(named):
        raise StoreError(
            Fault(
                "chart-corrected-already",
                f"Entry {again.corrects_id} has been corrected already, "
                f"by entry {again.pk}.",
                "corrects",
                f"look at entry {again.pk}; if it is wrong too, correct that one",
            )
        )
    found = EntryRow.objects.in_bulk(list(named))
    for pk, draft in named.items():
        row = found.get(pk)
        if row is None:
            raise StoreError(_refused(f"there is no entry {pk} to correct"))
        is_same = (draft.child, draft.line) == (row.child_id, row.line_id)
        if not is_same or draft.kind not in (row.kind, "withdrawn"):
            raise StoreError(_refused(f"entry {pk} is about something else"))


def _refused(reason: str) -> Fault:
    return Fault(
        "chart-entry-refused",
        f"This cannot be written to the chart: {reason}.",
        "entry",
        "correct it and send it again; nothing was saved",
    )
