"""Say what the lengths show, in the sentences a colleague would use."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.watch.typed_words import (
    TYPED_LENGTH,
    again_with,
    base_words,
    change_words,
    first_words,
    way_of,
)

if TYPE_CHECKING:
    from datetime import datetime, tzinfo

    from lumenkeep.core.watch.length_values import (
        LengthRules,
        LengthVerdict,
        Measured,
        Shift,
    )

PROVES_NOTHING = "An unchanged length proves nothing about the tip."
CHECK_TIP = "Check the tip before the line is used."
ARM_LAY_OTHERWISE = "The arm lay otherwise than at first."
ARM_NOT_CHARTED = (
    "How the arm lay was not charted, so part of a difference may come from it."
)
MOST_SAID = 1_000_000
LEAST_SAID = 2
"""Below this the evidence is not worth a figure."""
SHOWN_BY = {
    "limit": "The policy’s limit is reached.",
    "too-large": "No error of measuring explains as much.",
    "second": "Two measurements in a row show it.",
    "lengths": "All lengths together show it.",
}


def length_sentence(
    verdict: LengthVerdict, zone: tzinfo, rules: LengthRules | None = None
) -> str:
    """Return the finding in one sentence, or two where sureness is said.

    Parameters
    ----------
    verdict
        From `lumenkeep.core.watch.length.judge_lengths`.
    zone
        The ward's zone, for days and times.
    rules
        Where given, what the policy takes for granted is said with how sure it is.
    """
    if verdict.state == "cannot-judge":
        return _cannot_judge(verdict)
    if verdict.shift is None:
        return _no_shift(verdict)
    if verdict.state == "measure-again":
        return f"{doubt_words(verdict)} {again_words(verdict)}"
    return f"{moved_words(verdict, zone)} {sure_words(verdict.shift, rules)}"


def _cannot_judge(verdict: LengthVerdict) -> str:
    if verdict.latest is None:
        return "Cannot judge whether the line has moved: no length was ever charted."
    if verdict.arm == "other":
        return (
            "Cannot judge whether the line has moved: it was never measured before with "
            f"{arm_phrase(verdict.latest.arm)}."
        )
    return (
        "Cannot judge whether the line has moved: the length at insertion was not "
        f"charted, only {verdict.latest.mm:g} mm later."
    )


def doubt_words(verdict: LengthVerdict) -> str:
    """Return what is doubtful, as in "26 mm, 6 mm longer than at first (0 to 12 mm) …"."""
    shift, last = verdict.shift, verdict.latest
    assert shift is not None  # noqa: S101  "measure-again" has one
    assert last is not None  # noqa: S101
    return (
        f"{last.mm:g} mm, {_longer(verdict, shift.mm)}{_range(shift)}: more than "
        "measuring error usually makes."
    )


def again_words(verdict: LengthVerdict) -> str:
    """Return what a doubtful length asks for."""
    base, last = verdict.baseline, verdict.latest
    assert base is not None  # noqa: S101  only "cannot-judge" has none
    return again_with(base.arm, last.arm if last else None)


def told_at_once(verdict: LengthVerdict, moved_do: str = "") -> str:
    """Return what a length that was just charted asks for; empty where nothing.

    In the words in which a guide says it while the length is typed. ``moved_do`` is what
    the policy asks where a line has moved.
    """
    if verdict.shift is None or verdict.state not in TYPED_LENGTH:
        return ""
    mm = verdict.shift.mm
    said = TYPED_LENGTH[verdict.state].format(
        change=change_words(mm),
        way=way_of(mm),
        base=f" from {compared_words(verdict)}",
        again=again_words(verdict),
    )
    return f"{said} {moved_do}".strip() if verdict.state == "moved" else said


def arm_phrase(arm: str | None) -> str:
    """Return how the arm lay, as in "the arm bent"."""
    return f"the arm {arm}" if arm else "the arm so"


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
        return f"{last.mm:g} mm, as {first_words(verdict.base_arm)}. {PROVES_NOTHING}"
    return (
        f"{last.mm:g} mm, {_longer(verdict, change)}: no more than measuring error may "
        "make. It does not show that the line has stayed."
    )


def compared_words(verdict: LengthVerdict) -> str:
    """Return what the latest length is compared with, as in "20 mm at first"."""
    base = verdict.baseline
    assert base is not None  # noqa: S101  only "cannot-judge" has none
    return base_words(base.mm, verdict.base_arm)


def moved_words(verdict: LengthVerdict, zone: tzinfo) -> str:
    """Return how far, which way and since when, as in "Moved 18 mm out from …"."""
    shift = verdict.shift
    assert shift is not None  # noqa: S101  "moved" has one
    return (
        f"Moved {change_words(shift.mm)} mm {way(shift)} from {compared_words(verdict)}"
        f"{_range(shift)}, between {day(shift.after, zone)} and "
        f"{day(shift.before, zone)}."
    )


def short_words(shift: Shift) -> str:
    """Return the same for a strip, as in "moved 18 mm out"."""
    return f"moved {change_words(shift.mm)} mm {way(shift)}"


def sure_words(shift: Shift, rules: LengthRules | None = None) -> str:
    """Return how sure it is, and what asks for it."""
    parts = [SHOWN_BY[shift.by]] if shift.by in SHOWN_BY else []
    if shift.ratio > LEAST_SAID:
        parts.append(
            "Measuring error alone would ever show as much in fewer than 1 of "
            f"{_rounded(min(shift.ratio, MOST_SAID)):,} lines that stay where they are."
        )
    elif rules is None or rules.error is None:
        parts.append("How exactly it was measured is not known.")
    elif rules.over is None:
        parts.append("It may still be no more than measuring error.")
    else:
        parts.append(
            f"Of 100 lines that stay where they are, at most {100 * rules.false_alarm:g} "
            f"are called moved within {rules.over} measurements."
        )
    return " ".join(parts)


def way(shift: Shift) -> str:
    """Return "out" or "in"."""
    return "out" if shift.is_outward else "in"


def _longer(verdict: LengthVerdict, mm: float) -> str:
    """Return a difference as "3 mm longer than 20 mm at first"."""
    how = "longer" if mm > 0 else "shorter"
    return f"{change_words(mm)} mm {how} than {compared_words(verdict)}"


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
    """Return the limits along the way it went; below 0 it may have gone the other way."""
    turn = 1 if shift.is_outward else -1
    low, high = (
        _signed(mm) for mm in sorted((turn * shift.low_mm, turn * shift.high_mm))
    )
    return "" if low == high else f" ({low} to {high} mm)"


def _signed(mm: float) -> str:
    said = f"{abs(mm):.0f}"
    return f"−{said}" if mm < 0 and said != "0" else said


def _rounded(ratio: float) -> int:
    """Return a count to its first two figures, never more than it is."""
    whole = int(ratio)
    step = int(10 ** max(0, len(str(whole)) - 2))
    return whole // step * step
