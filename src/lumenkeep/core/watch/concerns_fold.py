"""Make one concern of what one look finds at one site: the strictest, with all words.

Five signs seen at once are one worry, and five concerns with five texts hide it. What
starts in the same look is folded into the strictest of them, which then holds the line
if any of them does, is to be acted on by the earliest time, and asks for all they ask.
Nothing is folded into a concern that was open before: something new is then to be seen
as new. Nor is one on which somebody has acted by its own name.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from lumenkeep.core.model.entry import Entry
from lumenkeep.core.model.signs import SITE_SIGNS, SKIN_SIGNS
from lumenkeep.core.watch.concerns import CLOSED, ConcernDuty
from lumenkeep.core.watch.concerns_signs import SignShown

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import timedelta

    from lumenkeep.core.policy.watch_rules import ConcernRule
    from lumenkeep.core.watch.concerns import ConcernAct

OF_SITE = frozenset((*SITE_SIGNS, *SKIN_SIGNS, "worse", "grade", "fever"))


@dataclass(frozen=True, slots=True)
class RuleReading:
    """What one entry tells about one rule; ``order`` places it among the acts.

    Attributes
    ----------
    is_of_site
        Whether all signs of the rule lie at the site.
    is_question
        Whether the rule only asks for another measurement, which answers it.
    """

    order: int
    entry: Entry
    told: SignShown
    duty: ConcernDuty
    is_of_site: bool = False
    is_question: bool = False

    @property
    def is_answered(self) -> bool:
        """Whether it only asked, and this entry answers."""
        return self.is_question and not self.told.shown


def is_of_site(rule: ConcernRule) -> bool:
    """Return whether a rule's signs all lie at the site."""
    return OF_SITE.issuperset(rule.signs)


def closing_order(acts: Sequence[ConcernAct]) -> int | None:
    """Return the entry that closed a concern; None where it is open."""
    return next((act.entry for act in acts if act.kind == CLOSED), None)


def folded(
    readings: Mapping[str, Sequence[RuleReading]],
    acts: Mapping[str, tuple[ConcernAct, ...]],
) -> dict[str, list[RuleReading]]:
    """Return the readings of each rule, those of one look and site folded into one."""
    folding = _Folding(acts)
    looks: dict[int, dict[str, RuleReading]] = {}
    for rule, rows in readings.items():
        for row in rows:
            if row.is_of_site and row.told.shown:
                looks.setdefault(row.entry.id, {})[rule] = row
    for look in sorted(looks.values(), key=_order_of_look):
        folding.take(look)
    found: dict[str, list[RuleReading]] = {}
    for rule, rows in readings.items():
        kept = [
            folding.instead.get((rule, row.entry.id), row)
            for row in rows
            if (rule, row.entry.id) not in folding.gone
        ]
        if kept:
            found[rule] = kept
    return found


def _order_of_look(look: Mapping[str, RuleReading]) -> int:
    return min(row.order for row in look.values())


class _Folding:
    """What has been folded so far, looks taken in the order of writing."""

    def __init__(self, acts: Mapping[str, tuple[ConcernAct, ...]]) -> None:
        self.acts = acts
        self.started: dict[str, int] = {}
        self.carried_by: dict[str, tuple[str, int]] = {}
        self.gone: set[tuple[str, int]] = set()
        self.instead: dict[tuple[str, int], RuleReading] = {}

    def take(self, look: Mapping[str, RuleReading]) -> None:
        """Fold one look."""
        starting = {}
        for rule, row in look.items():
            if self._is_open(rule, row.order):
                continue
            lead, start = self.carried_by.get(rule, ("", 0))
            still = lead in look and self.started.get(lead) == start
            if still and self._is_open(lead, row.order):
                self._fold(rule, row, lead, look[lead])
            else:
                starting[rule] = row
        if not starting:
            return
        lead = min(starting, key=lambda rule: (*_strictness(starting[rule].duty), rule))
        for rule, row in starting.items():
            if rule != lead and f"{rule}:{row.order}" not in self.acts:
                self._fold(rule, row, lead, starting[lead])
                self.carried_by[rule] = (lead, starting[lead].order)
            else:
                self.started[rule] = row.order

    def _is_open(self, rule: str, order: int) -> bool:
        start = self.started.get(rule)
        if start is None:
            return False
        closed_by = closing_order(self.acts.get(f"{rule}:{start}", ()))
        return closed_by is None or order <= closed_by

    def _fold(self, rule: str, row: RuleReading, lead: str, into: RuleReading) -> None:
        place = (lead, into.entry.id)
        self.gone.add((rule, row.entry.id))
        self.instead[place] = _with(self.instead.get(place, into), row)


def _strictness(duty: ConcernDuty) -> tuple[bool, timedelta, timedelta]:
    return (not duty.hold, duty.act_within, duty.settle_within)


def _with(lead: RuleReading, other: RuleReading) -> RuleReading:
    """Return the lead's reading with what the other says and asks."""
    one, two = lead.told, other.told
    told = SignShown(
        one.shown,
        _joined(one.says, two.says),
        ", ".join(part for part in (one.short, two.short) if part),
        _joined(one.detail, two.detail),
    )
    mine, its = lead.duty, other.duty
    duty = replace(
        mine,
        because=_joined(mine.because, its.because),
        asks=_joined(mine.asks, its.asks),
        hold=" and ".join(dict.fromkeys(h for h in (mine.hold, its.hold) if h)),
        act_within=min(mine.act_within, its.act_within),
        settle_within=min(mine.settle_within, its.settle_within),
    )
    return replace(lead, told=told, duty=duty)


def _joined(one: str, two: str) -> str:
    return " ".join(part for part in dict.fromkeys((one, two)) if part)
