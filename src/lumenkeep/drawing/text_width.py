"""How wide a text stands, estimated from the letters of the shipped typeface.

A little on the wide side, so that what is laid out by it does not touch.
"""

from __future__ import annotations

TEXT_SIZE = 14.0
LINE_HEIGHT = 18.0
SLACK = 1.04
BOLD = 1.09
# Widths in parts of the letter size, after the shipped Atkinson Hyperlegible.
USUAL = 0.55
FIXED = "\N{NO-BREAK SPACE}"
WIDTHS = {
    FIXED: 0.3,
    **dict.fromkeys("ijl|!'", 0.28),
    **dict.fromkeys(".,:;", 0.21),
    **dict.fromkeys('frt()[]{}-/ I*?"', 0.38),
    **dict.fromkeys("ABCDEFGHKLNOPQRSTUVXYZ&w+=<>±×–−", 0.67),
    **dict.fromkeys("0123456789", 0.65),
    **dict.fromkeys("mMW%@—…", 0.9),
}


def text_width(text: str, size: float = TEXT_SIZE, *, bold: bool = False) -> float:
    """Return the width of a text on one line (units of the drawing)."""
    parts = sum(WIDTHS.get(sign, USUAL) for sign in text)
    return parts * size * SLACK * (BOLD if bold else 1.0)


def wrapped(text: str, width: float) -> tuple[str, ...]:
    """Return a text in lines that fit a width; a word is never cut."""
    lines: list[str] = []
    for word in text.replace(" %", f"{FIXED}%").split(" "):
        if lines and text_width(f"{lines[-1]} {word}") <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return tuple(lines)
