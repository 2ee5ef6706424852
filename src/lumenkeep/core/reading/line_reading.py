"""The one reading of a line: its facts, its concerns, its length, and whether it is held.

Whatever asks what holds for a line now (ward view, line page, plan, guide, round,
print, chart file) asks here, and so gets the same answer. Pure: entries in, values out.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Protocol

from lumenkeep.core.entries import LineState, line_state
from lumenkeep.core.model.chart import so_far
from lumenkeep.core.model.place import Place, place
from lumenkeep.core.reading.line_rules import situation_of
from lumenkeep.core.watch.concerns import Concern, pressing_first
from lumenkeep.core.watch.concerns_found import found_concerns, length_verdict
from lumenkeep.core.watch.concerns_life import acts_by_key, concern_at
from lumenkeep.core.watch.length import LengthRules, LengthVerdict, Measured

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import tzinfo

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.policy import RuleBook


class EntryRules(Protocol):
    """By which rules each entry is judged."""

    def book_of(self, entry: Entry) -> RuleBook:
        """Return the rules in force when an entry was written, for the day it was so."""


@dataclass(frozen=True, slots=True)
class Hold:
    """Why a line must not be used: the concern, what was seen, and until when."""

    concern: str
    label: str
    says: str
    until: str
    since: datetime

    @property
    def sentence(self) -> str:
        """The reason as a colleague would say it."""
        return f"Do not use the line until {self.until}. {self.label}: {self.says}"


@dataclass(frozen=True, slots=True)
class LineReading:
    """A line as its entries leave it at one instant.

    Attributes
    ----------
    at
        The instant (UTC).
    state
        Facts, changes, lengths, signs.
    place
        Where the child lies.
    concerns
        Open ones, the most pressing first.
    all_concerns
        Closed ones too.
    verdict, length_rules, compared
        What the lengths say, by what rules, and which of them are compared.
    """

    at: datetime
    state: LineState
    place: Place
    concerns: tuple[Concern, ...]
    all_concerns: tuple[Concern, ...]
    verdict: LengthVerdict
    length_rules: LengthRules
    compared: tuple[Measured, ...]

    @property
    def holds(self) -> tuple[Hold, ...]:
        """Why the line must not be used; empty where it may be."""
        return holds_of(self.concerns)

    @property
    def is_held(self) -> bool:
        """Whether the line must not be used."""
        return any(concern.is_held for concern in self.concerns)


def holds_of(concerns: Sequence[Concern]) -> tuple[Hold, ...]:
    """Return why a line must not be used, by its concerns; empty where it may be."""
    return tuple(
        Hold(one.key, one.label, one.says, one.hold, one.since)
        for one in concerns
        if one.is_held
    )


def read_line(
    entries: Sequence[Entry],
    at: datetime,
    rules: EntryRules,
    zone: tzinfo,
    *,
    known_at: datetime | None = None,
) -> LineReading:
    """Return what holds for a line at ``at``.

    Parameters
    ----------
    entries
        Of one line and its child, corrected ones included; with an insertion.
    at
        Instant asked about (UTC); what happened later is left out.
    rules
        By which each entry is judged.
    zone
        The ward's zone.
    known_at
        Also leave out what was written later (UTC).
    """
    known = so_far(entries, at, known_at)
    state = line_state(known, at, zone)
    situation_at = situation_of(state, at)
    acts = acts_by_key(known)
    found = [
        concern_at(one, acts.get(one.key, ()), at)
        for one in found_concerns(known, rules.book_of, situation_at, zone)
        if one.since <= at
    ]
    concerns = tuple(sorted(found, key=pressing_first))
    verdict, length_rules, compared = length_verdict(known, rules.book_of, situation_at)
    return LineReading(
        at,
        state,
        place(known, at),
        tuple(one for one in concerns if one.is_open),
        concerns,
        verdict,
        length_rules,
        compared,
    )
