"""What is measured of a line's external length, and what the policy says about it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

ANY_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class Measured:
    """One measurement: its entry, when (UTC), how long (mm), and how the arm lay."""

    entry: int
    at: datetime
    mm: float
    arm: str | None = None


@dataclass(frozen=True, slots=True)
class MeasuringError:
    """What is known of the measuring; lengths in mm, shares between 0 and 1.

    Attributes
    ----------
    sd
        Standard deviation of one measurement.
    other_arm_sd
        Standard deviation of what another position of the arm adds.
    usual_move
        How far a line moves when it does (standard deviation of the step).
    moves
        Share of lines that have moved from one measurement to the next.
    """

    sd: float
    other_arm_sd: float
    usual_move: float
    moves: float


@dataclass(frozen=True, slots=True)
class LengthStep:
    """A step before one measurement: how likely there, and how large.

    Attributes
    ----------
    after
        How many measurements lie before it.
    weight
        Its share of the evidence for a step at all, between 0 and 1.
    mm, sd
        Size (mm, positive outward) and its standard deviation, if the step is there.
    """

    after: int
    weight: float
    mm: float
    sd: float


@dataclass(frozen=True, slots=True)
class Evidence:
    """What lengths say about a shift; ``ratio`` 1 says nothing either way."""

    ratio: float
    steps: tuple[LengthStep, ...]

    @property
    def likeliest(self) -> LengthStep | None:
        """The step that explains the lengths best; None with fewer than two."""
        return max(self.steps, key=lambda step: step.weight, default=None)


@dataclass(frozen=True, slots=True)
class Limit:
    """A change that alerts: ``mm`` itself counts unless ``is_above``.

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
    limits
        They count between lengths with the arm alike.
    error
        None where the policy does not say how exactly length is measured: then only
        the limits speak.
    compares_arms
        Whether lengths with the arm otherwise may be compared at all.
    false_alarm
        Of still lines, the share that may be called moved (0 to 1).
    arm_note
        What the policy says of another position of the arm.
    over
        Within how many measurements that holds; None where the policy does not say:
        then the limits count as they stand, and only the evidence keeps the promise.
    asks
        Of the measurements of still lines, the share that may ask for a second one
        (0 to 1); 0 asks never.
    asks_arm
        Whether the policy asks how the arm lay: then an arm that nobody charted may
        have lain in any way.
    """

    limits: tuple[Limit, ...]
    error: MeasuringError | None = None
    compares_arms: bool = True
    false_alarm: float = 1.0
    arm_note: str = ""
    over: int | None = None
    asks: float = 0.0
    asks_arm: bool = False


@dataclass(frozen=True, slots=True)
class Shift:
    """A change of length that lengths or a limit show, or that asks for another look.

    Attributes
    ----------
    mm, low_mm, high_mm
        How far from the length compared with, and its 95 % limits (mm, outward
        positive). They are never cut: a lower limit of -1.5 mm is said as it is.
    after, before
        The measurements between which it happened.
    limits
        Ids of the limits it passes; empty where only the lengths speak.
    ratio
        The evidence; still lines ever reach it in 1 of ``ratio`` at most.
    by
        What shows it: "limit", "too-large" (for any error of measuring), "second" (two
        measurements agree), "lengths" (all together), or "asked" where a second
        measurement is asked for.
    """

    mm: float
    low_mm: float
    high_mm: float
    after: Measured
    before: Measured
    limits: tuple[str, ...]
    ratio: float
    by: str

    @property
    def is_outward(self) -> bool:
        """Whether more of the line is outside than before."""
        return self.mm > 0


@dataclass(frozen=True, slots=True)
class LengthVerdict:
    """What the lengths say.

    Attributes
    ----------
    state
        "cannot-judge", "no-shift-shown", "measure-again" or "moved".
    baseline, latest
        The measurements compared, the first with the arm alike and the latest; None
        where there are none.
    shift
        None unless "moved" or "measure-again".
    arm
        "same", "other" or "not-charted": the arm at the latest against the baseline's.
    is_back
        Whether earlier lengths showed a shift that the latest does not.
    base_arm
        How the arm lay at the baseline, where that is not the first length of all.
    """

    state: str
    baseline: Measured | None
    latest: Measured | None
    shift: Shift | None = None
    arm: str = "not-charted"
    ratio: float = 1.0
    is_back: bool = False
    base_arm: str | None = None


def arm_against(base: Measured, other: Measured) -> str:
    """Return how the arm lay against the baseline: "same", "other" or "not-charted"."""
    if base.arm is None or other.arm is None:
        return "not-charted"
    return "same" if base.arm == other.arm else "other"
