"""Read a dressing change as typed into the body of its entry, with every fault."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from lumenkeep.model import known_or_none
from lumenkeep.model.words import DRESSINGS, FINDINGS, SKIN
from lumenkeep.services.change_form import (
    AGENT,
    ASSISTANT,
    BECAUSE,
    DRESSING,
    EARLY,
    PLANNED,
    SKIN_AT_SITE,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.planning.plan import ChartItem
    from lumenkeep.services.line_at_hand import LineAtHand
    from lumenkeep.services.typed_values import Typed

REASONS = (PLANNED, EARLY, *FINDINGS)
BROKEN_WORDS = ("skin broken",)
CHANGED_AT = "chart-changed-at"
"""Field of the instant where a policy names none."""


@dataclass(frozen=True, slots=True)
class ReadChange:
    """A change as read; ``at`` is None where the time was faulty."""

    at: datetime | None
    at_field: str
    body: dict[str, Any]


def read_change(
    typed: Typed, items: Sequence[ChartItem], line: LineAtHand, now: datetime
) -> ReadChange:
    """Return the change, noting every fault in ``typed``.

    Parameters
    ----------
    typed
        Fields by name: the policy's own ids, and those of `change_form`.
    items
        What the policy wants charted.
    line
        Whose dressing it was.
    now
        Nothing can have happened later (UTC).
    """
    body: dict[str, Any] = {
        "dressing": typed.word(DRESSING, "New dressing", DRESSINGS, needed=True),
        "agent": typed.word(
            AGENT, "Antiseptic", tuple(line.policy.agents), needed=True
        ),
        # Left out it stays unknown: a planned change is something somebody says.
        "because": typed.word(BECAUSE, "Why it was changed", REASONS),
        "assistant": typed.text(ASSISTANT, "Second person"),
        "skin": typed.word(SKIN_AT_SITE, "Skin at the site", SKIN),
    }
    at, at_field = None, CHANGED_AT
    if not any(item.kind == "instant" for item in items):
        at = typed.instant(at_field, "Time", line.ward.zone, now, needed=True)
    for item in items:
        if item.kind == "instant":
            at_field = item.id
            at = typed.instant(
                at_field, item.label, line.ward.zone, now, needed=item.required
            )
        else:
            body[body_key(item)] = _value(typed, item)
    if body["skin"] is None and body.get("site") in BROKEN_WORDS:
        body["skin"] = "broken"
    inserted = known_or_none(line.record.state.case.line.inserted)
    if inserted is not None:
        typed.after(at_field, "Time", at, inserted, "the insertion of the line")
    return ReadChange(at, at_field, body)


def body_key(item: ChartItem) -> str:
    """Return where a charted value lies in the entry's body.

    "chart-external-length", a length, lies under ``external_length_mm``.
    """
    key = item.id.removeprefix("chart-").replace("-", "_")
    return f"{key}_mm" if item.kind == "length" else key


def _value(typed: Typed, item: ChartItem) -> object:
    if item.kind == "length":
        return typed.number(
            item.id, item.label, "mm", item.low, item.high, needed=item.required
        )
    if item.kind == "count":
        return typed.count(
            item.id, item.label, item.low, item.high, needed=item.required
        )
    if item.kind == "choice":
        return typed.word(item.id, item.label, item.choices, needed=item.required)
    if item.kind == "yes-no":
        word = typed.word(item.id, item.label, ("yes", "no"), needed=item.required)
        return None if word is None else word == "yes"
    return typed.text(item.id, item.label, needed=item.required) or ""
