"""What is said of a length or a mass where it is typed, in words that a tablet fills in."""

from __future__ import annotations

from math import floor

TYPED_LENGTH = {
    "impossible": (
        "{mm} mm cannot lie outside the skin: {low} to {high} mm can. Read the tape again."
    ),
    "unlikely": "{last} mm last time. {mm}?",
    "suggest": "Do you mean {suggest} mm?",
    "measure-again": (
        "{change} mm {way}{base}: more than measuring error usually makes. {again}"
    ),
    "moved": "Moved {change} mm {way}{base}.",
}
"""Of a length, by its state; ``{…}`` is filled in."""
UNLIKELY_BEFORE = "{last} mm the next time. {mm}?"
"""Of an unlikely length that comes before every other, as an insertion put right does."""
TYPED_MASS = {
    "impossible": (
        "{grams} cannot be the mass of a child of this age: {low} to {high} can. Look at "
        "the scales again."
    ),
    "unlikely": "{last} on {day}. {grams}?",
    "suggest": "Do you mean {suggest}?",
}
"""The same of a mass."""
KILOGRAM = 1000
TENTHS, HALF = 10, 0.5


def again_with(base_arm: str | None, arm: str | None) -> str:
    """Return what a doubtful length asks for, by how the arm lay before and lies now."""
    if base_arm is not None:
        how = f"with the arm {base_arm}"
    elif arm is not None:
        how = "with the arm as at first"
    else:
        how = "in the same position"
    return (
        f"Let another person measure again, {how}, before anything else is decided. "
        "If both agree, it has moved."
    )


def base_words(mm: float, arm: str | None = None) -> str:
    """Return what a length is compared with, as in "24 mm at first with the arm bent".

    Parameters
    ----------
    mm
        The length compared with (mm).
    arm
        How the arm lay, where it is the first length so and not the first of all.
    """
    return f"{mm:g} mm {first_words(arm)}"


def first_words(arm: str | None = None) -> str:
    """Return which length is meant: the first of all, or the first with the arm so."""
    return "at first" if arm is None else f"at first with the arm {arm}"


def change_words(mm: float) -> str:
    """Return how large a change of length is, to the tenth of a millimetre.

    Everywhere the same, on a tablet too: nobody is to wonder which of two is meant.
    """
    return f"{floor(abs(mm) * TENTHS + HALF) / TENTHS:g}"


def way_of(change_mm: float) -> str:
    """Return "out" or "in"."""
    return "out" if change_mm > 0 else "in"


def written(value: float) -> float:
    """Return a number as somebody would write it down, without trailing noise."""
    return float(f"{value:.6g}")


def mass_words(grams: float) -> str:
    """Return a mass as it is said, as in "985 g" or "3.2 kg"."""
    if grams < KILOGRAM:
        return f"{grams:g} g"
    return f"{grams / KILOGRAM:g} kg"
