"""The fields of a dressing change: the policy's, and those every change has."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.model import known_or_none, words
from lumenkeep.services.change_form import (
    AGENT,
    ASSISTANT,
    BECAUSE,
    CONNECTORS,
    DRESSING,
    EARLY,
    PLANNED,
)
from lumenkeep.web.pages.fields import YES_NO, Field, pairs
from lumenkeep.web.pages.shapes.words import capital, day_in_words

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from lumenkeep.planning.plan import ChartItem
    from lumenkeep.services.line_at_hand import LineAtHand
    from lumenkeep.services.ports import StaffRecord

REASONS = {PLANNED: "It was due", EARLY: "Early, for another reason", **words.FINDINGS}


def change_fields(
    found: LineAtHand,
    items: Sequence[ChartItem],
    people: Sequence[StaffRecord],
    now: datetime,
    *,
    with_connectors: bool = True,
) -> tuple[Field, ...]:
    """Return the fields to chart one dressing change, in the order of the work.

    Parameters
    ----------
    items
        What the policy wants charted.
    people
        Who may have assisted.
    with_connectors
        Whether to ask for the connectors too, which have an entry of their own.
    """
    agents = {key: agent.label for key, agent in found.policy.agents.items()}
    when = [item_field(item, found, now) for item in items if item.kind == "instant"]
    rest = [item_field(item, found, now) for item in items if item.kind != "instant"]
    done = [
        Field(
            BECAUSE,
            "Why it was changed",
            "choice",
            required=True,
            choices=pairs(REASONS),
        ),
        Field(AGENT, "Antiseptic used", "pick", required=True, choices=pairs(agents)),
        Field(
            DRESSING,
            "New dressing",
            "pick",
            required=True,
            choices=pairs(words.DRESSINGS),
        ),
    ]
    assistants = tuple((person.key, person.name) for person in people)
    after = [Field(ASSISTANT, "Second person", "pick", choices=assistants)]
    if with_connectors:
        after.append(
            Field(CONNECTORS, "Connectors changed too?", "choice", choices=YES_NO)
        )
    return (*when, *done, *rest, *after)


def item_field(
    item: ChartItem, found: LineAtHand, now: datetime, *, required: bool | None = None
) -> Field:
    """Return the field of something the policy wants charted.

    ``required`` says otherwise than the policy whether it must be filled in.
    """
    choices = tuple((choice, capital(choice)) for choice in item.choices)
    return Field(
        item.id,
        item.label,
        item.kind,
        required=item.required if required is None else required,
        hint=_last(item, found, now),
        choices=YES_NO if item.kind == "yes-no" else choices,
        low=item.low,
        high=item.high,
    )


def _last(item: ChartItem, found: LineAtHand, now: datetime) -> str:
    """Return what was measured last, so that a difference is seen while charting."""
    state = found.record.state
    if item.kind == "length" and state.lengths:
        at, mm = state.lengths[-1]
        first = state.lengths[0][1]
        when = day_in_words(at, now, found.ward.zone)
        put_in = "" if len(state.lengths) == 1 else f" First measured: {first:g} mm."
        return f"Last measured: {mm:g} mm, {when}.{put_in}"
    stitches = known_or_none(state.case.line.stitches)
    if item.id.endswith("stitches") and stitches is not None:
        return f"Last counted: {stitches:g}."
    return ""
