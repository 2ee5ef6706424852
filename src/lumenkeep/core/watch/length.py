"""Tell a real shift of the external length from the error of measuring it.

Three things speak: a limit of the policy, where error would not ring it; one length or
two, held against those with the arm alike (`length_course`); and the evidence of all of
them (`length_evidence`), which finds a small shift that stays. Together they keep the
policy's promise about lines that never move (`length_budget`). A length that is more
than error usually makes, and less than they need, asks for a second measurement.
Nothing ever says that a line has *not* moved: an unchanged length proves nothing about
the tip, and without a length to compare with nothing can be judged.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

from lumenkeep.core.watch.length_budget import budget_of
from lumenkeep.core.watch.length_course import alike_keys, courses_of, sd_across
from lumenkeep.core.watch.length_values import (
    Evidence,
    LengthRules,
    LengthVerdict,
    Limit,
    Measured,
    Shift,
    arm_against,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.watch.length_course import Course
    from lumenkeep.core.watch.length_evidence import StepEvidence

__all__ = [
    "LengthRules",
    "LengthVerdict",
    "Limit",
    "Measured",
    "Shift",
    "arm_against",
    "judge_each",
    "judge_lengths",
]

SURE = 0.95
"""Share of the evidence that the named stretch of time must hold."""
NORMAL_95 = 1.959963984540054
"""Half width of the middle 95 % of a normal distribution, in standard deviations."""


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
    course = courses_of(rows, rules, budget_of(rules))[-1]
    (together,) = _together(rows, rules, [len(rows)])
    return _verdict(rows, rules, course, together, has_baseline=has_baseline)


def judge_each(
    measured: Sequence[Measured], rules: LengthRules, *, has_baseline: bool = True
) -> tuple[LengthVerdict, ...]:
    """Return what a line's lengths said at each of its measurements, oldest first.

    The same answers as of `judge_lengths` for the first length, the first two and so
    on, in one walk. Parameters are the same.
    """
    rows = sorted(measured, key=lambda one: (one.at, one.entry))
    if not rows:
        return ()
    ends = range(1, len(rows) + 1)
    return tuple(
        _verdict(rows[:end], rules, course, together, has_baseline=has_baseline)
        for end, course, together in zip(
            ends,
            courses_of(rows, rules, budget_of(rules)),
            _together(rows, rules, ends),
            strict=True,
        )
    )


def _verdict(
    rows: Sequence[Measured],
    rules: LengthRules,
    course: Course,
    together: _Together,
    *,
    has_baseline: bool,
) -> LengthVerdict:
    if len(rows) == 1:
        # The first length of all is what later ones are held against.
        state = "no-shift-shown" if has_baseline else "cannot-judge"
        return LengthVerdict(state, rows[0], rows[0], arm="same")
    is_shown = together.ratio >= budget_of(rules).ratio
    said = _Said(rows, rules, course, together)
    if course.alarm is not None or (is_shown and together.is_there()):
        return said.verdict("moved", said.shift())
    if course.asks:
        return said.verdict("measure-again", said.question())
    arm = arm_against(course.first, course.last)
    if arm == "other" and not rules.compares_arms:
        return said.verdict("cannot-judge")
    return said.verdict("no-shift-shown", is_back=is_shown or course.is_back)


class _Together:
    """What the lengths that may be compared say together, at one of them.

    Attributes
    ----------
    rows
        Those up to it.
    """

    def __init__(
        self, rows: Sequence[Measured], heard: StepEvidence | None, end: int
    ) -> None:
        self.heard, self.end = heard, end
        self.rows = rows
        self.ratio = 1.0 if heard is None else heard.ratios[end]

    @cached_property
    def evidence(self) -> Evidence:
        """Where the shift lies, worked out where somebody asks."""
        if self.heard is None:
            return Evidence(1.0, ())
        return self.heard.evidence(self.end)

    def is_there(self) -> bool:
        """Return whether the latest lies nearer to the step than to the baseline."""
        step = self.evidence.likeliest
        if step is None:
            return False
        last = self.rows[-1]
        first = next(one for one in self.rows if one.arm == last.arm)
        change = last.mm - first.mm
        return step.mm * change > 0 and 2 * abs(change) >= abs(step.mm)

    def between(self) -> tuple[Measured, Measured]:
        """Return the measurements between which the step lies."""
        first, until = _stretch(self.evidence)
        return self.rows[first - 1], self.rows[until]


def _together(
    rows: Sequence[Measured], rules: LengthRules, ends: Sequence[int]
) -> list[_Together]:
    """Return what the first measurements say together, for each of the counts."""
    keys = alike_keys(rows, rules)
    is_heard = [
        key is not None and (rules.compares_arms or key == keys[0]) for key in keys
    ]
    compared = [one for one, is_in in zip(rows, is_heard, strict=True) if is_in]
    counts = [sum(is_heard[:end]) for end in ends]
    heard = None
    if rules.error is not None and len(compared) > 1:
        # Here, because the arrays it reckons with take half as long to load as all the
        # rest, and a line measured once has no use for them.
        from lumenkeep.core.watch.length_evidence import hear

        # No position need be the one that the policy's number counts from, so two may
        # differ by the square root of 2 more.
        error = replace(rules.error, other_arm_sd=2**0.5 * rules.error.other_arm_sd)
        lengths, arms = [one.mm for one in compared], [one.arm for one in compared]
        heard = hear(lengths, arms, error, counts)
    return [
        _Together(compared[:count], heard, place) for place, count in enumerate(counts)
    ]


class _Said:
    """One line's lengths, and the verdicts that can be made of them."""

    def __init__(
        self,
        rows: Sequence[Measured],
        rules: LengthRules,
        course: Course,
        together: _Together,
    ) -> None:
        self.rows, self.rules, self.course = rows, rules, course
        self.together = together
        self.first, self.last = course.first, course.last
        self.change = course.last.mm - course.first.mm

    def verdict(
        self, state: str, shift: Shift | None = None, *, is_back: bool = False
    ) -> LengthVerdict:
        """Return the verdict on the lengths compared."""
        arm = arm_against(self.first, self.last)
        ratio = self.together.ratio
        base_arm = None if self.first is self.rows[0] else self.first.arm
        return LengthVerdict(
            state, self.first, self.last, shift, arm, ratio, is_back, base_arm
        )

    def shift(self) -> Shift:
        """Return the shift, placed by the evidence where that holds it."""
        alarm = self.course.alarm
        if self.together.is_there():
            after, before = self.together.between()
        elif alarm is not None:
            after, before = alarm.after, alarm.before
        else:
            after, before = self.rows[-2], self.rows[-1]
        return self._of(after, before, alarm.by if alarm else "lengths")

    def question(self) -> Shift:
        """Return the change that asks for a second measurement."""
        return self._of(self.rows[-2], self.rows[-1], "asked")

    def _of(self, after: Measured, before: Measured, by: str) -> Shift:
        half = NORMAL_95 * self._sd_of_difference()
        passed = tuple(
            one.rule
            for one in self.rules.limits
            if one.is_passed_by(self.change) and self._is_alike()
        )
        return Shift(
            self.change, self.change - half, self.change + half, after, before,
            passed, self.together.ratio, by,
        )  # fmt: skip

    def _is_alike(self) -> bool:
        first, last = alike_keys([self.first, self.last], self.rules)
        return first is not None and first == last

    def _sd_of_difference(self) -> float:
        """Return the standard deviation of a difference of two lengths (mm)."""
        error = self.rules.error
        if error is None:
            return 0.0
        if self._is_alike():
            return error.sd * 2**0.5
        return sd_across(self.first, self.last, error)


def _stretch(evidence: Evidence) -> tuple[int, int]:
    """Return the shortest run of places around the likeliest that holds `SURE` of it.

    As the counts of measurements before the earliest and the latest step.
    """
    steps = evidence.steps
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
