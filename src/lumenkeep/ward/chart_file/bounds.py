"""What a policy set holds the bodies of a chart file to: bounds, and its own fields."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.entries import Field
from lumenkeep.ward.chart.charting.form_fields import own_fields

if TYPE_CHECKING:
    from lumenkeep.core.policy import Policy


@dataclass(frozen=True, slots=True)
class FileBounds:
    """What a body is checked against beside its kind.

    Attributes
    ----------
    spans
        Least and greatest of each bound of the world, by its id.
    also
        Fields that a policy adds to a kind, by the kind.
    """

    spans: Mapping[str, tuple[float, float]]
    also: Mapping[str, Sequence[Field]]


def bounds_of(policy: Policy) -> FileBounds:
    """Return what a set holds bodies to."""
    spans = {id_: bound.span for id_, bound in policy.bounds.items()}
    return FileBounds(spans, own_fields(policy))
