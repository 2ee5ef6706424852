"""The kinds of rule about watching a line: lengths, scales, and who acts on a concern."""

from __future__ import annotations

from dataclasses import dataclass

from lumenkeep.core.policy.rules import Rule

DIRECTIONS = ("either", "outward", "inward")
WHO = {
    "nurse": "the child’s nurse",
    "charge-nurse": "the charge nurse",
    "educator": "the vascular-access educator",
    "prescriber": "the prescriber",
}
"""Who may have to act on a concern."""


@dataclass(frozen=True, slots=True)
class LengthLimit(Rule):
    """A change of external length, the arm alike, that raises a concern at once.

    One of ``at_least`` and ``above`` names the number (length); ``direction`` is one
    of `DIRECTIONS`.
    """

    direction: str
    at_least: str | None
    above: str | None


@dataclass(frozen=True, slots=True)
class Measuring(Rule):
    """How exactly external length is measured, and how seldom a still line may be called moved.

    ``error`` is the standard deviation of one measurement; ``other_arm`` that of the
    difference that another position of the arm makes, None where such lengths are not
    to be compared; ``usual_move`` how far a line moves when it does; ``moves`` how
    often it has moved from one measurement to the next, and ``false_alarm`` of how
    many still lines one may be called moved (percent) within ``over`` measurements.
    ``asks`` is how many of 100 measurements of still lines may ask for a second one;
    two lengths by two people within ``pair_within`` tell the error of measuring.
    ``arm_note`` is said where the arm lay otherwise.
    """

    error: str
    other_arm: str | None
    usual_move: str
    moves: str
    false_alarm: str
    over: str | None
    asks: str | None
    pair_within: str | None
    arm_note: str | None
    priority: int


@dataclass(frozen=True, slots=True)
class Grade:
    """What is seen from this grade of a scale up to the next one named."""

    grade: int
    says: str


@dataclass(frozen=True, slots=True)
class Scale(Rule):
    """A published scale for what is found; ``population`` says whom it was made for.

    Its grades are the whole numbers from the first of ``grades`` to ``highest``.
    """

    label: str
    population: str
    grades: tuple[Grade, ...]
    highest: int

    @property
    def lowest(self) -> int:
        """The least grade."""
        return self.grades[0].grade

    def says(self, grade: int) -> str:
        """Return what a grade means."""
        return [one.says for one in self.grades if one.grade <= grade][-1]


@dataclass(frozen=True, slots=True)
class ConcernRule(Rule):
    """A finding that somebody must act on.

    ``signs`` raise it: words of `lumenkeep.core.model.signs`. With ``scale`` the grade
    counts, from ``grade_at_least``; ``rise_at_least`` is for a girth. ``asks`` says
    what to do, ``hold`` until when the line must not be used. ``who`` acts within
    ``act_within``; it is closed within ``settle_within`` of being taken on; what is
    overdue goes to ``then`` as well.
    """

    label: str
    signs: tuple[str, ...]
    scale: str | None
    grade_at_least: str | None
    rise_at_least: str | None
    asks: str
    hold: str | None
    who: str
    act_within: str
    settle_within: str
    then: str
