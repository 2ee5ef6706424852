"""What watching one line shows: its lengths, and its concerns."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from lumenkeep.core.reading.line_reading import Hold, read_line
from lumenkeep.core.watch.concerns import Concern
from lumenkeep.core.watch.length import LengthRules, LengthVerdict, Measured
from lumenkeep.core.watch.length_rules import moved_asks
from lumenkeep.core.watch.length_words import arm_words, length_sentence, told_at_once
from lumenkeep.ward.chart.rules_of_ward import RulesOfWard

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.line_at_hand import LineAtHand
    from lumenkeep.ward.chart.records import Policies


@dataclass(frozen=True, slots=True)
class WatchedLine:
    """A line as it is watched.

    Attributes
    ----------
    concerns
        Open ones first, the most pressing of them on top.
    verdict, rules, compared
        What the lengths say, by what rules, and which of them are compared.
    sentence
        The same in words.
    length_found_at
        Instants at which a length raised a concern (UTC).
    holds
        Why the line must not be used.
    told_at_once
        What a length just charted asks for, in words; empty where nothing.
    """

    concerns: tuple[Concern, ...]
    verdict: LengthVerdict
    rules: LengthRules
    compared: tuple[Measured, ...]
    sentence: str
    length_found_at: tuple[datetime, ...]
    holds: tuple[Hold, ...]
    told_at_once: str

    @property
    def open_concerns(self) -> tuple[Concern, ...]:
        """Those that nobody has closed."""
        return tuple(one for one in self.concerns if one.is_open)


def watch_line(
    line: LineAtHand, entries: Sequence[Entry], policies: Policies, at: datetime
) -> WatchedLine:
    """Return what is watched of a line, as it stands at ``at`` (UTC).

    Parameters
    ----------
    line
        In place or removed.
    entries
        Of the line and its child, corrected ones included.
    """
    ward = line.ward
    reading = read_line(entries, at, RulesOfWard(policies, ward), ward.zone)
    verdict, length_rules = reading.verdict, reading.length_rules
    concerns = reading.all_concerns
    sentence = length_sentence(verdict, ward.zone, length_rules)
    arm = arm_words(verdict, length_rules.arm_note)
    found_at = {
        entry
        for concern in concerns
        if concern.found.duty.is_of_length
        for entry in concern.entries
    }
    return WatchedLine(
        tuple(sorted(concerns, key=lambda one: not one.is_open)),
        verdict,
        length_rules,
        reading.compared,
        f"{sentence} {arm}".strip(),
        tuple(e.happened_at for e in entries if e.id in found_at),
        reading.holds,
        told_at_once(
            verdict, moved_asks(line.policy.on(at.astimezone(ward.zone).date()))
        ),
    )
