"""What may be called out during a change that would make its plan another one.

A plan is made before the site is bare. Skin that is found broken bars what the next
steps would put on it, and a tablet without a network cannot ask for a new plan: what
each word would change travels along.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries import every_kind
from lumenkeep.core.entries.fold import LineFold
from lumenkeep.core.planning import plan_change
from lumenkeep.errors import LumenkeepError

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from lumenkeep.core.planning import Plan
    from lumenkeep.ward.chart.line_at_hand import LineAtHand
    from lumenkeep.ward.guide.bundle.fields import Field

OF_A_CHANGE = "dressing-change"
STOPS = "The policy gives no plan for this: stop, cover, and call."


def turns_of(
    found: LineAtHand, plan: Plan, fields: Sequence[Field]
) -> list[dict[str, Any]]:
    """Return each answer to a field that makes another plan, with that plan in words.

    Parameters
    ----------
    plan
        What the steps follow.
    fields
        Of the entry, as they are called out.
    """
    return [
        {"field": name, "value": word, "label": label, "says": says}
        for name, word, label, signs in _answers(fields)
        if (says := _another(found, plan, signs))
    ]


def _answers(
    fields: Sequence[Field],
) -> Iterator[tuple[str, str, str, Collection[str]]]:
    """Yield every answer that says that a sign is there: field, word, label, signs."""
    called_out = {one["field"]: one["choices"] or () for one in fields}
    for one in every_kind()[OF_A_CHANGE].fields:
        for choice in called_out.get(one.form_name, ()):
            signs = one.begins.get(choice["value"])
            if signs:
                yield one.form_name, choice["value"], choice["label"], signs


def _another(found: LineAtHand, plan: Plan, signs: Collection[str]) -> str:
    """Return the plan that holds once signs are there; empty where it stays as it is."""
    case = found.record.state.case
    fold = LineFold(case.zone, child=case.child, line=case.line)
    fold.see(signs, (), plan.at)
    try:
        then = plan_change(fold.state().case, plan.at, found.policy)
    except LumenkeepError:
        return STOPS
    return "" if _skin_of(then) == _skin_of(plan) else then.sentence


def _skin_of(plan: Plan) -> tuple[str, str | None, str | None]:
    """Return what touches the skin: all that a sign may change in mid-change."""
    agent, cover = plan.antiseptic, plan.dressing
    return (
        plan.verdict,
        agent.agent if agent else None,
        cover.kind if cover else None,
    )
