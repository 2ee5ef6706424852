"""Tell a real shift of the external length from the error of measuring it.

Two things speak: a limit of the policy, which alerts at once whatever the error, and
the evidence of all lengths together (`length_evidence`), which finds a smaller shift.
Neither ever says that a line has *not* moved: an unchanged length proves nothing about
the tip, and without a length to compare with nothing can be judged.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from lumenkeep.watch.length_evidence import Evidence, MeasuringError, shift_evidence

if TYPE_CHECKING:
    from collections.abc import Sequence

SURE = 0.95
"""Share of the evidence that the named stretch of time must hold."""
NORMAL_95 = 1.959963984540054
"""Half width of the middle 95 % of a normal distribution, in standard deviations."""
ANY_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class Measured:
    """One measurement: its entry, when (UTC), how long (mm), and how the arm lay."""

    entry: int
    at: datetime
    mm: float
    arm: str | None = None


@dataclass(frozen=True, slots=True)
class Limit:
    """A change that always alerts: ``mm`` itself counts unless ``is_above``.

    ``direction`` is "either", "outward" or "inward"; ``rule`` names the policy's rule.
    """

    rule: str
    direction: str
    mm: float
    is_above: bool

    def is_passed_by(self, change_mm: float) -> bool:
        """Return whether a change (mm, outward positive) reaches the limit."""
        if self.direction == "outward":
            size = change_mm
        elif self.direction == "inward":
            size = -change_mm
        else:
            size = abs(change_mm)
        if self.is_above:
            return size > self.mm + ANY_ROUNDING
        return size > 0 and size >= self.mm - ANY_ROUNDING


@dataclass(frozen=True, slots=True)
class LengthRules:
    """What the policy says about lengths, looked up for one line and day.

    Attributes
    ----------
    error
        None where the policy does not say how exactly length is measured: then only
        the limits speak.
    compares_arms
        Whether lengths with the arm otherwise may be compared at all.
    false_alarm
        Of still lines, the share that may ever be called moved (0 to 1).
    arm_note
        What the policy says of another position of the arm.
    """

    limits: tuple[Limit, ...]
    error: MeasuringError | None = None
    compares_arms: bool = True
    false_alarm: float = 1.0
    arm_note: str = ""


@dataclass(frozen=True, slots=True)
class Shift:
    """A shift that lengths or a limit show.

    Attributes
    ----------
    mm, low_mm, high_mm
        How far from the baseline, and its 95 % limits (mm, outward positive).
    after, before
        The measurements between which it happened.
    limits
        Ids of the limits it passes; empty where only the evidence speaks.
    ratio
        The evidence; still lines ever reach it in 1 of ``ratio`` at most.
    """

    mm: float
    low_mm: float
    high_mm: float
    after: Measured
    before: Measured
    limits: tuple[str, ...]
    ratio: float

    @property
    def is_outward(self) -> bool:
        """Whether more of the line is outside than before."""
        return self.mm > 0

    @property
    def is_by_evidence(self) -> bool:
        """Whether the lengths alone would show it, without any limit."""
        return self.ratio > 1 and not self.limits


@dataclass(frozen=True, slots=True)
class LengthVerdict:
    """What the lengths say.

    Attributes
    ----------
    state
        "cannot-judge", "no-shift-shown" or "moved".
    baseline, latest
        The measurements compared; None where there are none.
    arm
        "same", "other" or "not-charted": the arm at the latest against the baseline's.
    is_back
        Whether earlier lengths showed a shift that the latest does not.
    """

    state: str
    baseline: Measured | None
    latest: Measured | None
    shift: Shift | None = None
    arm: str = "not-charted"
    ratio: float = 1.0
    is_back: bool = False


def judge_lengths(
    measured: Sequence[Measured], rules: LengthRules, *, has_baseline: bool = True
) -> LengthVerdict:
    """Return what a line's lengths say at its latest measurement.

    Parameters
    ----------
    measured
        In any order; the earliest is what the others are compared with.
    rules
        The policy's.
    has_baseline
        Whether the earliest may be compared with: the length at insertion, or the one
        a check of the tip confirmed.
    """
    rows = sorted(measured, key=lambda one: (one.at, one.entry))
    if not rows:
        return LengthVerdict("cannot-judge", None, None)
    base, last = rows[0], rows[-1]
    arm = arm_against(base, last)
    if len(rows) == 1:
        # The first length of all is what later ones are held against.
        state = "no-shift-shown" if has_baseline else "cannot-judge"
        return LengthVerdict(state, base, last, arm="same")
    compared = rows
    if not rules.compares_arms:
        compared = [one for one in rows if arm_against(base, one) != "other"]
    evidence = _evidence(compared, rules)
    passed = tuple(
        limit.rule for limit in rules.limits if limit.is_passed_by(last.mm - base.mm)
    )
    is_shown = rules.error is not None and evidence.ratio * rules.false_alarm >= 1
    is_back = is_shown and not _is_still_there(evidence, last.mm - base.mm)
    if not passed and (is_back or not is_shown or last not in compared):
        return LengthVerdict(
            "no-shift-shown", base, last, None, arm, evidence.ratio, is_back
        )
    if last not in compared:
        evidence = Evidence(1.0, ())
    shift = _shift(compared, base, last, evidence, passed, rules)
    return LengthVerdict("moved", base, last, shift, arm, evidence.ratio)


def _is_still_there(evidence: Evidence, change_mm: float) -> bool:
    """Return whether the latest length lies nearer to the step than to the baseline."""
    step = evidence.likeliest
    if step is None or step.mm * change_mm <= 0:
        return False
    return 2 * abs(change_mm) >= abs(step.mm)


def arm_against(base: Measured, other: Measured) -> str:
    """Return how the arm lay against the baseline: "same", "other" or "not-charted"."""
    if base.arm is None or other.arm is None:
        return "not-charted"
    return "same" if base.arm == other.arm else "other"


def _evidence(rows: Sequence[Measured], rules: LengthRules) -> Evidence:
    if rules.error is None:
        return Evidence(1.0, ())
    lengths = [one.mm for one in rows]
    return shift_evidence(lengths, [one.arm for one in rows], rules.error)


def _shift(
    rows: Sequence[Measured],
    base: Measured,
    last: Measured,
    evidence: Evidence,
    passed: tuple[str, ...],
    rules: LengthRules,
) -> Shift:
    change = last.mm - base.mm
    half = NORMAL_95 * _sd_of_difference(base, last, rules)
    first, until = _stretch(evidence)
    if _is_still_there(evidence, change):
        after, before = rows[first - 1], rows[until]
    else:
        after, before = _last_two(rows, base, last)
    return Shift(
        change, change - half, change + half, after, before, passed, evidence.ratio
    )


def _sd_of_difference(base: Measured, last: Measured, rules: LengthRules) -> float:
    """Return the standard deviation of a difference of two lengths (mm)."""
    if rules.error is None:
        return 0.0
    variance = 2 * rules.error.sd**2
    if arm_against(base, last) == "other":
        variance += rules.error.other_arm_sd**2
    return float(variance**0.5)


def _last_two(
    rows: Sequence[Measured], base: Measured, last: Measured
) -> tuple[Measured, Measured]:
    """Return the measurement before the latest, and the latest."""
    earlier = [one for one in rows if (one.at, one.entry) < (last.at, last.entry)]
    return (earlier[-1] if earlier else base), last


def _stretch(evidence: Evidence) -> tuple[int, int]:
    """Return the shortest run of places around the likeliest that holds `SURE` of it.

    As the counts of measurements before the earliest and the latest step.
    """
    steps = evidence.steps
    if not steps:
        return 1, 1
    low = high = max(range(len(steps)), key=lambda k: steps[k].weight)
    held = steps[low].weight
    while held < SURE:
        left = steps[low - 1].weight if low else -1.0
        right = steps[high + 1].weight if high + 1 < len(steps) else -1.0
        if left >= right:
            low -= 1
            held += max(left, 0.0)
        else:
            high += 1
            held += max(right, 0.0)
        if low <= 0 and high >= len(steps) - 1:
            break
    return max(steps[max(low, 0)].after, 1), steps[min(high, len(steps) - 1)].after
