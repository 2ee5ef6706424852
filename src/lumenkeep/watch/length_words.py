"""Say what the lengths show, in the sentences a colleague would use."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime, tzinfo

    from lumenkeep.watch.length import LengthRules, LengthVerdict, Measured, Shift

PROVES_NOTHING = "An unchanged length proves nothing about the tip."
CHECK_TIP = "Check the tip before the line is used."
ARM_LAY_OTHERWISE = "The arm lay otherwise than at first."
ARM_NOT_CHARTED = (
    "How the arm lay was not charted, so part of a difference may come from it."
)
MOST_SAID = 1_000_000
LEAST_SAID = 2
"""Below this the evidence is not worth a figure."""


def length_sentence(
    verdict: LengthVerdict, zone: tzinfo, rules: LengthRules | None = None
) -> str:
    """Return the finding in one sentence, or two where sureness is said.

    Parameters
    ----------
    verdict
        From `lumenkeep.watch.length.judge_lengths`.
    zone
        The ward's zone, for days and times.
    rules
        Where given, what the policy takes for granted is said with how sure it is.
    """
    if verdict.state == "cannot-judge":
        return _cannot_judge(verdict)
    if verdict.shift is None:
        return _no_shift(verdict)
    return f"{moved_words(verdict.shift, zone)} {sure_words(verdict.shift, rules)}"


def _cannot_judge(verdict: LengthVerdict) -> str:
    if verdict.latest is None:
        return "Cannot judge whether the line has moved: no length was ever charted."
    return (
        "Cannot judge whether the line has moved: the length at insertion was not "
        f"charted, only {verdict.latest.mm:g} mm later."
    )


def _no_shift(verdict: LengthVerdict) -> str:
    base, last = verdict.baseline, verdict.latest
    assert base is not None  # noqa: S101  only "cannot-judge" has none
    assert last is not None  # noqa: S101
    if base == last:
        return f"{last.mm:g} mm, measured once. {PROVES_NOTHING}"
    change = last.mm - base.mm
    if verdict.is_back:
        return (
            f"{last.mm:g} mm: it had moved, and the length is back. That does not show "
            "that the tip is."
        )
    if change == 0:
        return f"{last.mm:g} mm, as at first. {PROVES_NOTHING}"
    return (
        f"{last.mm:g} mm, {change_words(change)}: no more than measuring error may "
        "make. It does not show that the line has stayed."
    )


def moved_words(shift: Shift, zone: tzinfo) -> str:
    """Return how far, which way and since when, as in "Moved 18 mm out …"."""
    return (
        f"Moved {abs(shift.mm):.0f} mm {way(shift)}"
        f"{_range(shift)}, between {day(shift.after, zone)} and "
        f"{day(shift.before, zone)}."
    )


def short_words(shift: Shift) -> str:
    """Return the same for a strip, as in "moved 18 mm out"."""
    return f"moved {abs(shift.mm):.0f} mm {way(shift)}"


def sure_words(shift: Shift, rules: LengthRules | None = None) -> str:
    """Return how sure it is, and what asks for it."""
    parts = []
    if shift.limits:
        parts.append("The policy’s limit is reached.")
    if shift.ratio > LEAST_SAID:
        parts.append(
            "Measuring error alone would ever show as much in fewer than 1 of "
            f"{_rounded(min(shift.ratio, MOST_SAID)):,} lines that stay where they are."
        )
    elif rules is None or rules.error is None:
        parts.append("How exactly it was measured is not known.")
    else:
        parts.append("It may still be no more than measuring error.")
    return " ".join(parts)


def way(shift: Shift) -> str:
    """Return "out" or "in"."""
    return "out" if shift.is_outward else "in"


def change_words(mm: float) -> str:
    """Return a difference as "3 mm longer than at first"."""
    return f"{abs(mm):g} mm {'longer' if mm > 0 else 'shorter'} than at first"


def arm_words(verdict: LengthVerdict, note: str = "") -> str:
    """Return what the arm means for the comparison; empty where nothing.

    ``note`` is what the policy says of another position.
    """
    if verdict.arm == "other":
        return f"{ARM_LAY_OTHERWISE} {note}".strip()
    if verdict.arm == "not-charted" and verdict.state == "moved":
        return ARM_NOT_CHARTED
    return ""


def day(measured: Measured, zone: tzinfo) -> str:
    """Return when something was measured, as in "Tue 3 Nov, 14:05"."""
    return day_and_time(measured.at, zone)


def day_and_time(at: datetime, zone: tzinfo) -> str:
    """Return an instant on the ward's clock, as in "Tue 3 Nov, 14:05"."""
    local = at.astimezone(zone)
    return f"{local:%a} {local.day} {local:%b}, {local:%H:%M}"


def _range(shift: Shift) -> str:
    low, high = sorted((abs(shift.low_mm), abs(shift.high_mm)))
    if shift.low_mm * shift.high_mm <= 0:
        low = 0.0
    return "" if f"{low:.0f}" == f"{high:.0f}" else f" ({low:.0f} to {high:.0f} mm)"


def _rounded(ratio: float) -> int:
    """Return a count to its first two figures, never more than it is."""
    whole = int(ratio)
    step = int(10 ** max(0, len(str(whole)) - 2))
    return whole // step * step
