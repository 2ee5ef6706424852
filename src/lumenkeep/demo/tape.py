"""Measure the demo's lines as a ward does: never twice the same, the arm as it lies.

Lengths vary with the error that the demo hospital's own policy states, and by what it
says another position of the arm makes. Now and then nobody charts how the arm lay, and
now and then a second person measures too.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from random import Random
from typing import Any

from lumenkeep.core.policy import load_policy
from lumenkeep.demo.hospital import POLICY_SET
from lumenkeep.demo.told import ToldLine

ARMS = ("at the side", "away from the body", "bent")
LIES_AS_USUAL, CHARTED, TWICE = 0.75, 0.93, 0.2


@dataclass(slots=True)
class Tape:
    """One line's lengths, measured by whoever is there.

    Attributes
    ----------
    offsets
        What each position of the arm adds (mm); the first is the usual one.
    """

    rng: Random
    line: ToldLine
    day: date
    offsets: dict[str, float] = field(default_factory=dict)
    sd: float = 0.0

    def __post_init__(self) -> None:
        """Look the policy's error up, and draw how the arm shifts this line."""
        book = load_policy(POLICY_SET).on(self.day)
        self.sd = float(book.value("length-error"))  # type: ignore[arg-type]  # mm
        other = float(book.value("length-other-arm"))  # type: ignore[arg-type]  # mm
        if self.line.site == "upper-arm":
            self.offsets = {ARMS[0]: 0.0} | {
                arm: self.rng.gauss(0, other) for arm in ARMS[1:]
            }

    def reads(self, *, is_last: bool) -> dict[str, Any]:
        """Return what a measurement charts: the length, and how the arm lay."""
        if self.line.length_mm is None:
            return {"external_length_mm": None}
        true = self.line.length_mm + (self.line.moved_mm if is_last else 0)
        arm = self._arm(is_as_usual=is_last and self.line.moved_mm != 0)
        return self._read(true + self.offsets.get(arm or "", 0.0), arm)

    def again(self, charted: dict[str, Any]) -> dict[str, Any] | None:
        """Return what a second person measures after the first; None where nobody does."""
        length = charted.get("external_length_mm")
        if length is None or self.line.moved_mm or self.rng.random() > TWICE:
            return None
        arm = charted.get("arm")
        if self.offsets and arm is None:
            return None
        assert self.line.length_mm is not None  # noqa: S101  it was measured just now
        return self._read(self.line.length_mm + self.offsets.get(arm or "", 0.0), arm)

    def _arm(self, *, is_as_usual: bool) -> str | None:
        if not self.offsets:
            return None
        if is_as_usual or self.rng.random() < LIES_AS_USUAL:
            arm = ARMS[0]
        else:
            arm = self.rng.choice(ARMS[1:])
        return arm if is_as_usual or self.rng.random() < CHARTED else None

    def _read(self, true_mm: float, arm: str | None) -> dict[str, Any]:
        length = max(0, round(true_mm + self.rng.gauss(0, self.sd)))
        body: dict[str, Any] = {"external_length_mm": length}
        if arm is not None:
            body["arm"] = arm
        return body
