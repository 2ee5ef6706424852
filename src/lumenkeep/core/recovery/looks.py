"""What ends a step beside its seconds, and which drawing shows it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from lumenkeep.core.asepsis.procedure import Step

DRAWINGS = {
    "peel": "peel",
    "guard-edges": "edges",
    "back-and-forth": "back-and-forth",
    "outward": "outward-circles",
}
"""Our own drawings, by verb or by the manner of the motion."""


def look_of(step: Step) -> dict[str, Any] | None:
    """Return the question whose answer ends a step; None where no look does."""
    if step.verb != "look-dry":
        return None
    what = "hub" if "hub" in step.objects else "skin"
    return {
        "asks": f"Is the {what} dry? What shines is wet.",
        "yes": "Dry",
        "no": "Still shiny",
    }


def timer_of(step: Step) -> str | None:
    """Return what a step's seconds time: scrub, dry, hands or hub; None for others."""
    if step.seconds is None:
        return None
    if step.verb == "scrub":
        return "hub" if "hub" in step.objects else "scrub"
    if step.verb == "hand-hygiene":
        return "hands"
    return "dry" if step.verb == "wait" and "site" in step.objects else None


def drawing_of(step: Step) -> str | None:
    """Return the name of the drawing of a step's motion."""
    if "hub" in step.objects:
        return None
    if step.verb in DRAWINGS:
        return DRAWINGS[step.verb]
    return next((DRAWINGS[m] for m in step.manner if m in DRAWINGS), None)
