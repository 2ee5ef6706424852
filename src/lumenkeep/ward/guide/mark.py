"""The mark of what was on the chart when a guide was opened.

It says up to which entry of the line and its child the plan knew the chart, and under
which policy. Whoever carries it need not read it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lumenkeep.ward.chart.line_at_hand import LineAtHand

DIGEST_LETTERS = 16


def mark_of(found: LineAtHand) -> str:
    """Return the mark of a line as it is now."""
    return f"{found.record.last_entry}.{found.policy.digest[:DIGEST_LETTERS]}"


def read_mark(mark: str) -> tuple[int, str]:
    """Return the id of the newest entry that was known, and the policy's digest.

    A mark that is none knows of nothing: then everything is new.
    """
    known, _, digest = mark.partition(".")
    return (int(known), digest) if known.isdecimal() else (0, "")
