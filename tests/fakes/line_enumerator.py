"""The second evaluator, for what falls due on a line and for what is laid out.

Like `enumerator` it is slow and plain, reads the rules as data, tries every way things
may be, and shares no code with the engines that decide. It follows the reference:
the highest priority that surely applies counts, with whatever may apply above it; of
what may count, the shortest time; what is barred or found is due now.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from tests.fakes.enumerator import (
    NEVER,
    OPEN,
    SURELY,
    WRITTEN,
    Enumerator,
    Facts,
    _hours,
    reached_at,
)

from lumenkeep.core.model.words import DRESSINGS, SET_KINDS

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
    from datetime import date

    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.conditions import When
    from lumenkeep.core.policy.rules import Interval, Rule

PLANNED = {"dressing": tuple(DRESSINGS), "set_kind": tuple(SET_KINDS)}


@dataclass(frozen=True, slots=True)
class Hung:
    """A set that hangs on the line: its kind and its last change; None if unknown."""

    kind: str | None
    changed: datetime | None


@dataclass(frozen=True, slots=True)
class OnTheLine:
    """What is on a line and when each thing was last done; None if unknown."""

    worn: str | None = None
    applied: datetime | None = None
    connectors: datetime | None = None
    needle: datetime | None = None
    inserted: datetime | None = None
    reviewed: datetime | None = None
    inspected: datetime | None = None
    sets: tuple[Hung, ...] | None = None


@dataclass(frozen=True, slots=True)
class Due:
    """One task as it is read from the outside."""

    task: str
    kind: str | None
    state: str
    not_before: datetime | None
    due_at: datetime | None
    overdue_since: datetime | None


@dataclass(frozen=True, slots=True)
class Laid:
    """How many of a supply lie ready, how many of them in the kit, and the size."""

    count: int
    in_kit: int
    sizes: frozenset[str | None]


class LineEnumerator(Enumerator):
    """Due times and supplies of one policy on one day."""

    def __init__(self, policy: Policy, day: date) -> None:
        super().__init__(policy, day)
        self._known: dict[Hashable, str] = {}

    # ------------------------------------------------ one rule

    def ways(self, key: str, facts: Facts) -> Sequence[Any]:
        """Return every value of a fact that may be true; a plan's own facts as well."""
        return PLANNED[key] if key in PLANNED else super().ways(key, facts)

    def said(
        self, rule: Rule, facts: Facts, planned: Mapping[str, str] | None = None
    ) -> str:
        """Return whether a rule surely holds, never does, or is open; remembered."""
        return self._said(rule.id, rule.when, facts, planned or {})

    def _said(
        self, id_: str, when: When, facts: Facts, planned: Mapping[str, str]
    ) -> str:
        named = {c.fact for row in when for c in row}
        asked: list[Any] = [id_, tuple(sorted(planned.items()))]
        for fact in sorted(named - set(planned) - set(PLANNED)):
            if fact in ("age", "postmenstrual_age"):
                asked += [facts.born, facts.at, facts.zone, facts.gestation]
            elif fact == "mass" and facts.mass is None:
                asked += [facts.born, facts.at, facts.zone]
            else:
                asked.append(getattr(facts, WRITTEN.get(fact, fact)))
        key = tuple(asked)
        if key not in self._known:
            self._known[key] = self.truth(when, facts, planned)
        return self._known[key]

    # ------------------------------------------------ due times

    def due(self, facts: Facts, line: OnTheLine) -> Counter[Due]:
        """Return everything that falls due, or waits, on a line."""
        last = {
            "connector": line.connectors,
            "port-needle": line.needle,
            "line-stay": line.inserted,
            "line-review": line.reviewed,
            "site-check": line.inspected,
        }
        found = [self.one(facts, task, since) for task, since in last.items()]
        found.append(self.one(facts, "dressing", line.applied, dressing=line.worn))
        if line.sets is None:
            found.append(self.one(facts, "set", None))
        found += [
            self.one(facts, "set", hung.changed, set_kind=hung.kind)
            for hung in line.sets or ()
        ]
        return Counter(one for one in found if one is not None)

    def one(
        self,
        facts: Facts,
        task: str,
        since: datetime | None,
        dressing: str | None = None,
        set_kind: str | None = None,
    ) -> Due | None:
        """Return one task, None where it does not arise."""
        chosen = {"dressing": dressing, "set_kind": set_kind}
        planned = {fact: word for fact, word in chosen.items() if word is not None}
        kind = dressing or set_kind
        first = self._found_since(facts, task, since, planned)
        if first is not None:
            return Due(task, kind, "due", None, first, first)
        if task == "dressing":
            barred = self._barred_since(facts, dressing, since)
            if barred is not None:
                return Due(task, kind, "due", None, barred, None)
        may = self._may_count(facts, task, planned)
        if not may:
            is_there = task == "dressing" or (task == "set" and kind is not None)
            now = since or facts.at
            return Due(task, kind, "due", None, now, None) if is_there else None
        timed = [rule for rule in may if not rule.nothing_due]
        return self._clock(facts, task, kind, since, timed) if timed else None

    def _may_count(
        self, facts: Facts, task: str, planned: Mapping[str, str]
    ) -> list[Interval]:
        """Return the rules that count: the highest that is sure, and what may be above."""
        said = [
            (rule, self.said(rule, facts, planned))
            for rule in self.policy.intervals
            if rule.task == task
        ]
        sure = max((r.priority for r, t in said if t == SURELY), default=-1)
        return [
            r
            for r, t in said
            if (t == SURELY and r.priority == sure)
            or (t == OPEN and r.priority >= sure)
        ]

    def _clock(
        self,
        facts: Facts,
        task: str,
        kind: str | None,
        since: datetime | None,
        timed: list[Interval],
    ) -> Due:
        latest = [self.number(r.not_after) for r in timed if r.not_after]
        earliest = [self.number(r.not_before) for r in timed if r.not_before]
        if len(earliest) < len(timed):
            earliest = []
        if not latest and not earliest:
            return Due(task, kind, "on-finding", None, None, None)
        if since is None:
            return Due(task, kind, "due", None, facts.at, None)
        opens = due = None
        if earliest:
            opens = reached_at(since, min(earliest, key=_hours), facts.zone)
        if latest:
            due = reached_at(since, min(latest, key=_hours), facts.zone)
        if due is not None and due <= facts.at:
            is_late = due < facts.at
            state = "overdue" if is_late else "due"
            return Due(task, kind, state, opens, due, due if is_late else None)
        if opens is None:
            return Due(task, kind, "later", None, due, None)
        state = "too-early" if facts.at < opens else "may-now"
        return Due(task, kind, state, opens, due, None)

    def _found_since(
        self,
        facts: Facts,
        task: str,
        since: datetime | None,
        planned: Mapping[str, str],
    ) -> datetime | None:
        """Return since when a finding makes a task due; the day of none is charted."""
        held = [
            rule
            for rule in self.policy.at_once
            if rule.task == task and self.said(rule, facts, planned) == SURELY
        ]
        if not held:
            return None
        return facts.at if since is None else max(facts.at, since)

    def _barred_since(
        self, facts: Facts, worn: str | None, since: datetime | None
    ) -> datetime | None:
        """Return since when what is on is barred; a mass is known since it was weighed."""
        kinds = (worn,) if worn else tuple(DRESSINGS)
        bars = [r for r in self.policy.exclusions if set(kinds) & set(r.bars)]

        def is_barred(at: datetime) -> bool:
            then = facts if at == facts.at else replace(facts, at=at, mass=None)
            return any(self.said(rule, then) == SURELY for rule in bars)

        if not is_barred(facts.at):
            return None
        if since is None:
            return facts.at
        turns = {since, *(t for t in self._turns(facts) if since < t <= facts.at)}
        first = facts.at
        for turn in sorted(turns, reverse=True):
            if not is_barred(turn):
                break
            first = turn
        return first

    def _turns(self, facts: Facts) -> Iterator[datetime]:
        if facts.mass is not None:
            yield facts.at
        for limit in self.limits("age") if facts.born else ():
            for born in facts.born or ():
                yield reached_at(born, limit, facts.zone)

    # ------------------------------------------------ supplies

    def laid_out(
        self, facts: Facts, agent: str, dressing: str, gloves: Mapping[str, str | None]
    ) -> dict[str, Laid]:
        """Return what lies ready for a change with an agent and a dressing."""
        planned = {"agent": agent, "dressing": dressing}
        sizes = {**gloves, "film": self._film(facts, planned)}
        kit = {one.item: one for one in self.policy.kit}
        total: Counter[str] = Counter()
        fits: Counter[str] = Counter()
        size_of: dict[str, set[str | None]] = {}
        for rule in self.policy.supplies:
            if self.said(rule, facts, planned) == NEVER:
                continue
            count = self.number(rule.count)
            size = sizes[rule.size_of] if rule.size_of else None
            total[rule.item] += count
            size_of.setdefault(rule.item, set()).add(size)
            packed = kit.get(rule.item)
            if packed and (not rule.size_of or (size and size == packed.size)):
                fits[rule.item] += count
        return {
            item: Laid(
                count,
                min(fits[item], self.number(kit[item].count)) if item in kit else 0,
                frozenset(size_of[item]),
            )
            for item, count in total.items()
            if count
        }

    def _film(self, facts: Facts, planned: Mapping[str, str]) -> str | None:
        """Return the one film that may suit, in words; None where several may."""
        may = [r for r in self.policy.films if self.said(r, facts, planned) != NEVER]
        if len(may) != 1:
            return None
        width, height = self.number(may[0].width), self.number(may[0].height)
        return f"{width:g} × {height:g} mm"


def tasks_read(found: Iterable[Any]) -> Counter[Due]:
    """Return the engine's tasks in the same form."""
    return Counter(
        Due(t.task, t.kind, t.state, t.not_before, t.due_at, t.overdue_since)
        for t in found
    )


def supplies_read(lines: Iterable[Any]) -> dict[str, Laid]:
    """Return a plan's supplies in the same form."""
    found: dict[str, Laid] = {}
    for line in lines:
        before = found.get(line.item, Laid(0, 0, frozenset()))
        found[line.item] = Laid(
            before.count + line.count,
            before.in_kit + (line.count if line.in_kit else 0),
            before.sizes | {line.size},
        )
    return found
