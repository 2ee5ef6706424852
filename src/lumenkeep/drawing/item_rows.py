"""How often each item of a round was found done, drawn with limits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.drawing.figure import FigureText, counted, drawn, per_cent, share_span
from lumenkeep.drawing.frame import Axis
from lumenkeep.drawing.rows import Row, ValueInRow, paint_rows

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.drawing.figure import Drawing

QUARTERS = (0.0, 0.25, 0.5, 0.75, 1.0)


@dataclass(frozen=True, slots=True)
class Share:
    """So many of so many, with the limits of the share (0 to 1).

    Where nothing was looked at (``of`` 0) there is no share, and the limits are not
    read.
    """

    name: str
    done: int
    of: int
    low: float = 0.0
    high: float = 1.0

    @property
    def value(self) -> float | None:
        """The share; None where nothing was looked at."""
        return self.done / self.of if self.of else None


def item_rows(
    key: str,
    title: str,
    shares: Sequence[Share],
    *,
    measured: str,
    target: float | None = None,
    target_words: str = "target",
) -> Drawing:
    """Return shares by item drawn one below the other.

    Parameters
    ----------
    measured
        What the share says: "lines on which the item was in place".
    target
        A share to reach, from the policy; None for none.
    """
    heading = f"{measured}, in per cent with 95 % limits"
    if target is not None:
        heading += f"; the dashed line is the {target_words} of {per_cent(target)}"
    told = FigureText(
        title,
        _sentence(shares, measured),
        f"One row for each of {counted(len(shares), 'item')}: a dot for the share found, "
        "a line for its 95 % limits. " + " ".join(_told(share) for share in shares),
        ("item", "done", "looked at", "share", "95 % limits"),
        tuple(_row(share) for share in shares),
    )
    rows = tuple(
        Row(
            share.name,
            ()
            if share.value is None
            else (ValueInRow(share.value, share.low, share.high),),
            "not looked at"
            if share.value is None
            else f"{per_cent(share.value)} ({share.done} of {share.of})",
        )
        for share in shares
    )
    axis = Axis(0.0, 1.0, tuple((part, per_cent(part)) for part in QUARTERS))
    return drawn(
        key, told, lambda sheet: paint_rows(sheet, heading, rows, axis, target)
    )


def _told(share: Share) -> str:
    if share.value is None:
        return f"{share.name}: not looked at."
    reach = share_span(share.low, share.high)
    return f"{share.name}: {per_cent(share.value)}, limits {reach}."


def _row(share: Share) -> tuple[str, ...]:
    if share.value is None:
        return (share.name, "0", "0", "not known", "not known")
    reach = share_span(share.low, share.high)
    return (
        share.name,
        f"{share.done:,}",
        f"{share.of:,}",
        per_cent(share.value),
        reach,
    )


def _sentence(shares: Sequence[Share], measured: str) -> str:
    known = [share for share in shares if share.value is not None]
    if not known:
        return f"Nothing is known of {measured}: no item was looked at."
    # Of equal ones the least sure.
    worst = min(known, key=lambda share: (share.value or 0.0, share.of))
    best = max(known, key=lambda share: share.value or 0.0)
    is_alike = best.value == worst.value
    told = (
        f"{'All alike, least sure' if is_alike else 'Lowest'}: {worst.name}, "
        f"{per_cent(worst.value or 0.0)} of {worst.of:,} "
        f"(95 % limits {share_span(worst.low, worst.high)})"
    )
    if not is_alike:
        told += f"; highest: {best.name}, {per_cent(best.value or 0.0)} of {best.of:,}"
    missing = len(shares) - len(known)
    if missing:
        told += f"; of {counted(missing, 'item')} nothing is known"
    return f"{told}."
