"""Which concerns a line or a ward has: open ones now, and those of a period."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries import line_state
from lumenkeep.core.model.place import place
from lumenkeep.core.policy import keep
from lumenkeep.core.reading.line_reading import situation_of
from lumenkeep.core.watch.concerns import (
    Concern,
    ConcernAct,
    FoundConcern,
    pressing_first,
)
from lumenkeep.core.watch.concerns_found import found_concerns
from lumenkeep.core.watch.concerns_life import acts_by_key, concern_at
from lumenkeep.ward.chart.line_at_hand import RulesOfWard
from lumenkeep.ward.chart.records import LineRecord

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.store.policies import PoliciesInForce
    from lumenkeep.ward.concerns.records import ConcernSource, OpenLine
    from lumenkeep.ward.site.people import WardRecord


_KEPT: dict[Hashable, Any] = {}
"""What lines raise, by their entries and rules; emptied when very many are kept."""


@dataclass(frozen=True, slots=True)
class LineConcerns:
    """What a line's entries raise, and what was done about it, whatever the hour."""

    record: LineRecord
    found: tuple[FoundConcern, ...]
    acts: Mapping[str, tuple[ConcernAct, ...]]

    def at(self, at: datetime) -> tuple[Concern, ...]:
        """Return every concern as it stands at an instant (UTC), the pressing first."""
        concerns = [
            concern_at(found, self.acts.get(found.key, ()), at)
            for found in self.found
            if found.since <= at
        ]
        return tuple(sorted(concerns, key=pressing_first))


@dataclass(frozen=True, slots=True)
class ListedConcern:
    """A concern, and the line that it is about."""

    record: LineRecord
    concern: Concern

    @property
    def line(self) -> str:
        """Key of the line."""
        return self.record.key

    @property
    def child(self) -> str:
        """Key of the child."""
        return self.record.child

    @property
    def bed(self) -> str:
        """Where the child lies, or lay last."""
        return self.record.bed


def line_concerns(
    line: OpenLine, entries: Sequence[Entry], rules: RulesOfWard, ward: WardRecord
) -> LineConcerns:
    """Return what one line's entries raise.

    Parameters
    ----------
    line
        Whose.
    entries
        Of the line and its child, corrected ones included.
    rules, ward
        By which to judge, and where.
    """
    newest = max(entry.happened_at for entry in entries)
    state = line_state(entries, newest, ward.zone)
    where = place(entries)
    record = LineRecord(
        line.key,
        line.child,
        line.child_name,
        where.ward or line.ward,
        where.bed or "",
        where.side,
        state,
        line.last_entry,
    )
    found = found_concerns(
        entries, rules.book_of, situation_of(state, newest), ward.zone
    )
    return LineConcerns(record, found, acts_by_key(entries))


def has_open(concerns: LineConcerns, at: datetime) -> bool:
    """Return whether anything about a line is not closed at an instant (UTC)."""
    return any(concern.is_open for concern in concerns.at(at))


def ward_concerns(
    source: ConcernSource, policies: PoliciesInForce, ward: WardRecord, at: datetime
) -> tuple[ListedConcern, ...]:
    """Return the open concerns of a ward, the most pressing first.

    Those of lines taken out and of children who left are among them until somebody
    closes them.

    Raises
    ------
    PolicyError
        The ward's policy is faulty.
    """
    lines = source.open_lines(ward.key)
    if not lines:
        return ()
    rules = RulesOfWard(policies, ward)
    listed = []
    for concerns in _worked_out(lines, source, rules, ward):
        listed += [
            ListedConcern(concerns.record, concern)
            for concern in concerns.at(at)
            if concern.is_open
        ]
    return tuple(sorted(listed, key=lambda row: pressing_first(row.concern)))


def _worked_out(
    lines: Sequence[OpenLine],
    source: ConcernSource,
    rules: RulesOfWard,
    ward: WardRecord,
) -> list[LineConcerns]:
    """Return what each line raises, worked out once until one of its entries changes.

    The mark stands for all of a line's entries and the policies they were written
    under; with the ward, the rules of now and the name shown it settles the answer.
    """
    keys = {
        line.key: (line.key, line.mark, line.child_name, ward, rules.now.digest)
        for line in lines
    }
    unknown = [one.key for one in lines if not one.mark or keys[one.key] not in _KEPT]
    entries = source.entries_of(unknown) if unknown else {}
    found = []
    for line in lines:
        concerns = _KEPT.get(keys[line.key]) if line.mark else None
        if concerns is None:
            concerns = line_concerns(line, entries[line.key], rules, ward)
            keep(_KEPT, keys[line.key], concerns)
        found.append(concerns)
    return found


def concerns_between(
    source: ConcernSource,
    policies: PoliciesInForce,
    ward: WardRecord,
    first: datetime,
    last: datetime,
) -> tuple[ListedConcern, ...]:
    """Return the concerns of a ward in a period, as they stood at its end.

    Those found in it, and those found earlier and still open when it began; by the
    ward where the child lay when it was found. The oldest first.

    Parameters
    ----------
    first, last
        Instants (UTC); what happened at ``last`` is left out.

    Raises
    ------
    PolicyError
        The ward's policy is faulty.
    """
    lines = source.lines_of_period(ward.key, first, last)
    if not lines:
        return ()
    rules = RulesOfWard(policies, ward)
    entries = source.entries_of([line.key for line in lines])
    listed = []
    for line in lines:
        until = [e for e in entries[line.key] if e.happened_at < last]
        if not any(e.line is not None for e in until):
            continue
        concerns = line_concerns(line, until, rules, ward)
        listed += [
            ListedConcern(concerns.record, concern)
            for concern in concerns.at(last)
            if _was_open(concern, first)
            and place(until, concern.since).ward == ward.key
        ]
    return tuple(sorted(listed, key=lambda row: (row.concern.since, row.concern.key)))


def _was_open(concern: Concern, first: datetime) -> bool:
    closed_at = concern.closed_at
    return closed_at is None or closed_at >= first or concern.since >= first
