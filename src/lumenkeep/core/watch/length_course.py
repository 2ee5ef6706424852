"""Walk through a line's lengths, and note where one of them shows a shift or a doubt.

Lengths are compared with those measured with the arm alike: whatever another position
adds drops out of such a difference. The first length in a new position, and one where
nobody charted how the arm lay although the policy asks for it, can only be held against
the first length of all, with the further error of another position.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from lumenkeep.core.watch.length_values import LengthRules, Measured

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.watch.length_budget import Budget
    from lumenkeep.core.watch.length_values import MeasuringError

HALF = 0.5


@dataclass(frozen=True, slots=True)
class Alarm:
    """A shift shown at one length.

    Attributes
    ----------
    by
        "limit", "too-large" or "second".
    from_mm, step_mm
        The level before it, and how far it went (mm, outward positive).
    after, before
        The measurements between which it happened.
    limits
        Ids of the limits passed.
    """

    by: str
    from_mm: float
    step_mm: float
    after: Measured
    before: Measured
    limits: tuple[str, ...] = ()

    def is_there_at(self, mm: float) -> bool:
        """Return whether a length lies nearer to where it went than to where it was."""
        now = mm - self.from_mm
        return now * self.step_mm > 0 and 2 * abs(now) >= abs(self.step_mm)


@dataclass(frozen=True, slots=True)
class LengthLook:
    """What one length says against those before it."""

    alarm: Alarm | None = None
    asks: bool = False
    is_back: bool = False


@dataclass(slots=True)
class Level:
    """Where the line lay with the arm in one position.

    Attributes
    ----------
    first, last
        The first and the last length measured so.
    kept, total
        Those that lie where it was, without a shift, and their sum (mm).
    alarm
        A shift that still stands.
    """

    first: Measured
    last: Measured
    kept: list[Measured] = field(default_factory=list)
    total: float = 0.0
    alarm: Alarm | None = None

    def keep(self, row: Measured) -> None:
        """Note that a length lies where the line was."""
        self.kept.append(row)
        self.total += row.mm

    def leave_out_last(self) -> None:
        """Take the latest of them back: it lies where the line went."""
        self.total -= self.kept.pop().mm

    @property
    def mm(self) -> float:
        """Mean of those kept."""
        return self.total / len(self.kept)

    @property
    def mm_before_last(self) -> float:
        """Mean of those kept but the latest."""
        return (self.total - self.kept[-1].mm) / (len(self.kept) - 1)


@dataclass(frozen=True, slots=True)
class Course:
    """What the lengths say one after another, seen from the latest.

    Attributes
    ----------
    alarm
        The latest shift that still stands; None where none does.
    asks
        Whether the latest length asks for a second measurement.
    is_back
        Whether the latest length ends a shift.
    first, last
        The lengths to compare: of the position of the alarm, else of the latest.
    """

    alarm: Alarm | None
    asks: bool
    is_back: bool
    first: Measured
    last: Measured


def alike_keys(rows: Sequence[Measured], rules: LengthRules) -> list[str | None]:
    """Return for each length what it shares with those it may be compared with.

    None where it shares it with no other: nobody charted how the arm lay, and it
    matters.
    """
    matters = rules.asks_arm or any(one.arm is not None for one in rows)
    return [one.arm if matters else "" for one in rows]


def courses_of(
    rows: Sequence[Measured], rules: LengthRules, budget: Budget
) -> list[Course]:
    """Return what the lengths say at each of them, in the order of measuring.

    Parameters
    ----------
    rows
        At least one, oldest first; the first is what others are compared with.
    rules, budget
        The policy's, and what they make of its promise.
    """
    walk = _Walk(rules, budget, rows[0])
    return [
        walk.take(row, key)
        for row, key in zip(rows, alike_keys(rows, rules), strict=True)
    ]


def sd_across(first: Measured, other: Measured, error: MeasuringError) -> float:
    """Return how far two lengths with the arm otherwise differ by error alone (mm).

    As a standard deviation. Of two charted positions neither need be the one that the
    policy's number counts from; an arm that nobody charted may have lain as at first.
    """
    are_charted = first.arm is not None and other.arm is not None
    blocks = 2 if are_charted else 1
    return float((2 * error.sd**2 + blocks * error.other_arm_sd**2) ** HALF)


class _Walk:
    """The levels met so far, and what the latest length said."""

    def __init__(self, rules: LengthRules, budget: Budget, base: Measured) -> None:
        self.rules, self.budget, self.base = rules, budget, base
        self.levels: dict[str, Level] = {}
        self.unproved: set[str] = set()
        self.across: Alarm | None = None
        self.across_last = base
        self.look = LengthLook()
        self.here = (base, base)

    def take(self, row: Measured, key: str | None) -> Course:
        """Judge the next length, and return what stands at it."""
        was_across = self.across is not None
        if self.across is not None and not self.across.is_there_at(row.mm):
            self.across = None
        level = None if key is None else self.levels.get(key)
        if level is None:
            self._first_so(row, key)
        else:
            self._alike(row, key or "", level)
        if self.across is not None:
            self.across_last = row
        elif was_across:
            self.look = replace(self.look, is_back=True)
        return self._course()

    def _course(self) -> Course:
        standing = [one for one in self.levels.values() if one.alarm is not None]
        if standing:
            level = max(standing, key=lambda one: (one.last.at, one.last.entry))
            first, last, alarm = level.first, level.last, level.alarm
        elif self.across is not None:
            first, last, alarm = self.base, self.across_last, self.across
        else:
            first, last, alarm = *self.here, None
        return Course(alarm, self.look.asks, self.look.is_back, first, last)

    def _first_so(self, row: Measured, key: str | None) -> None:
        """Judge the first length with the arm so, against the first of all."""
        self.here = (self.base, row)
        self.look = LengthLook()
        if row is not self.base:
            self.look = self._across(row)
            self.across = self.look.alarm or self.across
        if key is not None:
            self.levels[key] = Level(row, row, [row], row.mm)
            if len(self.levels) > 1:
                self.unproved.add(key)

    def _alike(self, row: Measured, key: str, level: Level) -> None:
        self.here = (level.first, row)
        level.last = row
        self.look = look_alike(row, level, self.rules, self.budget)
        if key in self.unproved:
            # The position is new: how far it lies off may still be a shift.
            asks = self.look.asks or self._across(row).asks
            self.look = replace(self.look, asks=asks)
        elif self.look.alarm is None and not self.look.asks:
            self.unproved.clear()

    def _across(self, row: Measured) -> LengthLook:
        error = self.rules.error
        if error is None or not self.rules.compares_arms:
            return LengthLook()
        change = row.mm - self.base.mm
        score = abs(change) / sd_across(self.base, row, error)
        alarm = None
        if score >= self.budget.too_large:
            alarm = Alarm("too-large", self.base.mm, change, self.base, row)
        return LengthLook(alarm, score >= self.budget.asks)


def look_alike(
    row: Measured, level: Level, rules: LengthRules, budget: Budget
) -> LengthLook:
    """Return what a length says against those with the arm alike, and note it there."""
    is_back = False
    if level.alarm is not None:
        if level.alarm.is_there_at(row.mm):
            return LengthLook(level.alarm)
        level.alarm, is_back = None, True
    limits = tuple(
        one.rule for one in rules.limits if one.is_passed_by(row.mm - level.first.mm)
    )
    one, two = _scores(row, level, rules)
    alarm = _alarm(row, level, budget, limits, (one, two))
    if alarm is None:
        level.keep(row)
        asks = bool(limits) or max(one, two) >= budget.asks
        return LengthLook(None, asks, is_back)
    if alarm.by == "second":
        level.leave_out_last()
    level.alarm = alarm
    return LengthLook(alarm)


def _alarm(
    row: Measured,
    level: Level,
    budget: Budget,
    limits: tuple[str, ...],
    scores: tuple[float, float],
) -> Alarm | None:
    one, two = scores
    kept = level.kept
    if budget.limits.intersection(limits):
        start = level.first.mm
        return Alarm("limit", start, row.mm - start, kept[-1], row, limits)
    if one >= budget.too_large:
        start = level.mm
        return Alarm("too-large", start, row.mm - start, kept[-1], row, limits)
    if two >= budget.second:
        start = level.mm_before_last
        step = (row.mm + kept[-1].mm) / 2 - start
        return Alarm("second", start, step, kept[-2], kept[-1], limits)
    return None


def _scores(row: Measured, level: Level, rules: LengthRules) -> tuple[float, float]:
    """Return how far a length, and its mean with the one before, lie from the others.

    In standard deviations of that difference; 0 where there is nothing to compare.
    """
    if rules.error is None:
        return 0.0, 0.0
    kept, sd = level.kept, rules.error.sd
    count = len(kept)
    one = abs(row.mm - level.mm) / (sd * (1 + 1 / count) ** HALF)
    if count == 1:
        return one, 0.0
    mean_of_two = (row.mm + kept[-1].mm) / 2
    width = sd * (HALF + 1 / (count - 1)) ** HALF
    return one, abs(mean_of_two - level.mm_before_last) / width
