"""Which part of a plan is shown beside a step."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.core.asepsis.procedure import Step

FACTS, LAY_OUT, SCRUB, DRY, RESIDUE, DRESSING = (
    "facts", "lay-out", "scrub", "dry", "residue", "dressing",
)  # fmt: skip
SHOWN_AT: Mapping[str, str] = {"read": FACTS, "gather": LAY_OUT}
SHOWN_AT_SITE: Mapping[str, str] = {
    "scrub": SCRUB, "wait": DRY, "look-dry": DRY, "wipe": RESIDUE,
}  # fmt: skip


def shown_at(step: Step) -> str | None:
    """Return which part of the plan stands at a step; None where none does."""
    if "site" in step.objects and step.verb in SHOWN_AT_SITE:
        return SHOWN_AT_SITE[step.verb]
    if step.verb == "cover":
        return DRESSING
    return SHOWN_AT.get(step.verb)
