"""What an action works with, and the steps that all which chart have in common.

An action says what is to be charted of what was sent, and notes in the form what is
wrong with it. `charts` sees to the rest: sent twice it is written once, every fault is
told at once, and with one nothing is written.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import wraps
from typing import TYPE_CHECKING, Concatenate, ParamSpec

from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.site.people import Clock, WardRecord
from lumenkeep.ward.site.typed_values import Typed

if TYPE_CHECKING:
    from collections.abc import Callable

    from lumenkeep.core.model.entry import Entry

    # For the type check alone: what is pure is handed these, and loads no table.
    from lumenkeep.ward.chart.store.policies import PoliciesInForce  # noqa: TC004
    from lumenkeep.ward.chart.store.repository import (  # noqa: TC004
        ChartRepository,
        StaffRepository,
    )
    from lumenkeep.ward.site.sent import Sent

Own = ParamSpec("Own")


@dataclass(frozen=True, slots=True)
class WardContext:
    """What pages and actions work with: the chart, the policies, the staff, the clock."""

    chart: ChartRepository
    policies: PoliciesInForce
    staff: StaffRepository
    clock: Clock


@dataclass(frozen=True, slots=True)
class ToChart:
    """What an action would chart, and the ward whose policy counts."""

    ward: WardRecord
    drafts: Sequence[Draft]


def charts(
    action: Callable[Concatenate[WardContext, Sent, Typed, Own], ToChart],
) -> Callable[Concatenate[WardContext, Sent, Own], Sequence[Entry]]:
    """Return the action as it is called: it charts what was sent, once.

    Parameters
    ----------
    action
        Takes the context, what was sent, the form to read it from, and what is its own.

    Raises
    ------
    ChartError
        What the action refuses; or every fault of the form at once, each with its
        field in ``where``.
    StoreError
        Nothing was written.
    """

    @wraps(action)
    def charted(
        at: WardContext, sent: Sent, /, *args: Own.args, **own: Own.kwargs
    ) -> Sequence[Entry]:
        # What an action finds and allows must still be so when it is written.
        with at.chart.one_at_a_time():
            if before := at.chart.written(sent.submission):
                return before
            form = Typed(sent.typed)
            new = action(at, sent, form, *args, **own)
            form.raise_faults()
            ward = new.ward
            return at.chart.append(
                new.drafts, ward.policy_set, ward=ward.key, submission=sent.submission
            )

    return charted
