"""What a policy set wants charted at a dressing change beside the registry's fields."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.entries import Field, kind_of
from lumenkeep.ward.chart.charting.asked import field_of_item

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.core.policy import Policy

CHANGE = "dressing-change"
INSTANT = "instant"


def own_fields(policy: Policy) -> Mapping[str, Sequence[Field]]:
    """Return the fields that a set adds, by the kind of entry they belong to.

    What the set bounds or offers binds its forms; a body may say it otherwise, as one
    that was charted under another version does.
    """
    kind = kind_of(CHANGE)
    known = set(kind.keys) if kind is not None else set()
    fields = [field_of_item(one) for one in policy.chart_fields if one.kind != INSTANT]
    return {CHANGE: tuple(one for one in fields if one.key not in known)}
