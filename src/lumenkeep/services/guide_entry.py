"""What the entry needs at the end of a guided procedure, as fields."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.model import known_or_none, words
from lumenkeep.model.chart import standing
from lumenkeep.services.change_form import BECAUSE, EARLY, PLANNED, likely_reason
from lumenkeep.services.chart_task import NOTE, SET_KIND, SET_NAME
from lumenkeep.services.guide_fields import YES_NO, Field, field, item_field
from lumenkeep.services.read_change import body_key

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.model.entry import Entry
    from lumenkeep.planning import Plan
    from lumenkeep.planning.plan import ChartItem
    from lumenkeep.services.line_at_hand import LineAtHand

SKIN, FINDINGS, CAUSE, REASON, TIP = (
    "skin", "findings", "cause", "reason", "tip-whole",
)  # fmt: skip
REASONS = {PLANNED: "It was due", EARLY: "Early, for another reason", **words.FINDINGS}
REDRESSES = ("dressing-change", "port-needle-change")
"""Procedures that end with a new dressing."""


def entry_fields(
    procedure: str, found: LineAtHand, plan: Plan, entries: Sequence[Entry]
) -> list[Field]:
    """Return the fields of a procedure's entry, in the order of the work.

    Parameters
    ----------
    entries
        Of the line and its child: what was charted last is shown beside a field.
    """
    note = field(NOTE, "Anything to add", "text")
    if procedure in REDRESSES:
        return _of_a_dressing(found, plan, entries)
    if procedure == "set-change":
        kinds = dict(words.SET_KINDS)
        return [
            field(
                SET_KIND, "What runs through it", "choice", required=True, choices=kinds
            ),
            field(SET_NAME, "Which set, where several hang", "text"),
            note,
        ]
    if procedure == "re-cover":
        return [_findings(required=True), field(CAUSE, "Cause", "text"), note]
    if procedure == "line-removal":
        return [
            field(REASON, "Why it was taken out", "text", required=True),
            field(
                TIP, "Is the line whole, tip and all?", "choice",
                required=True, choices=YES_NO,
            ),
            note,
        ]  # fmt: skip
    return [note]


def _of_a_dressing(
    found: LineAtHand, plan: Plan, entries: Sequence[Entry]
) -> list[Field]:
    items = [
        item_field(item, _last(item, found, entries))
        for item in plan.chart
        if item.kind != "instant"
    ]
    return [
        field(
            BECAUSE, "Why it was changed", "choice",
            required=True, choices=REASONS, value=likely_reason(found),
        ),
        _findings(required=False),
        *items,
        field(SKIN, "Skin at the site", "choice", choices=words.SKIN),
    ]  # fmt: skip


def _findings(*, required: bool) -> Field:
    return field(
        FINDINGS,
        "Found on the old dressing",
        "several",
        required=required,
        choices=words.FINDINGS,
    )


def _last(item: ChartItem, found: LineAtHand, entries: Sequence[Entry]) -> str | None:
    """Return what was charted last, in words."""
    state = found.record.state
    if item.kind == "length" and state.lengths:
        at, mm = state.lengths[-1]
        day = at.astimezone(found.ward.zone)
        return f"{mm:g} mm on {day.day} {day:%B}"
    stitches = known_or_none(state.case.line.stitches)
    if item.id.endswith("stitches") and stitches is not None:
        return f"{stitches:g}"
    if item.kind == "choice":
        key = body_key(item)
        said = [e.body[key] for e in standing(entries) if e.body.get(key)]
        return str(said[-1]) if said else None
    return None
