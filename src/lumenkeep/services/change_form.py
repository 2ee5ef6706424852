"""What to fill in after a dressing change: the policy's fields, the plan's values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.model import known_or_none
from lumenkeep.planning import Plan, plan_change
from lumenkeep.planning.plan import ChartItem
from lumenkeep.services.line_at_hand import LineAtHand, line_in_place

if TYPE_CHECKING:
    from lumenkeep.services.ports import Chart, Clock, Policies

DRESSING, AGENT, BECAUSE = "dressing", "agent", "because"
SKIN_AT_SITE, ASSISTANT, CONNECTORS = "skin", "assistant", "connectors"
PLANNED, EARLY = "planned", "early"


@dataclass(frozen=True, slots=True)
class ChangeForm:
    """A form for one dressing change.

    Attributes
    ----------
    items
        What the policy wants charted, in its order; the id is the field's name.
    values
        What is filled in already, by field: the time, and what the plan said. A
        length is never filled in: it must be measured.
    """

    line: LineAtHand
    plan: Plan
    items: tuple[ChartItem, ...]
    values: Mapping[str, str]


def change_form(
    chart: Chart, policies: Policies, clock: Clock, line: str
) -> ChangeForm:
    """Return the form to chart a change of this line's dressing.

    Raises
    ------
    ChartError
        There is no such line, or it is out.
    """
    found = line_in_place(chart, policies, line)
    now = clock.now()
    plan = plan_change(found.record.state.case, now, found.policy)
    items = plan.chart
    values = {
        item.id: now.astimezone(found.ward.zone).strftime("%Y-%m-%dT%H:%M")
        for item in items
        if item.kind == "instant"
    }
    if plan.dressing is not None:
        values[DRESSING] = plan.dressing.kind
    if plan.antiseptic is not None:
        values[AGENT] = plan.antiseptic.agent
    values[BECAUSE] = likely_reason(found)
    return ChangeForm(found, plan, items, values)


def likely_reason(found: LineAtHand) -> str:
    """Return why the dressing is changed: the last finding on it, or as planned."""
    findings = known_or_none(found.record.state.case.line.dressing.findings)
    return findings[-1].kind if findings else PLANNED
