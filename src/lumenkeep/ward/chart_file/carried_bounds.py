"""What the bodies of an imported file are held to: the world, and every policy here."""

from __future__ import annotations

from contextlib import suppress
from functools import partial
from typing import TYPE_CHECKING

from lumenkeep.core.policy import DEFAULT_SET, Policy, load_policy, shipped_sets
from lumenkeep.errors import PolicyError
from lumenkeep.ward.chart.models import PolicyVersion, Ward
from lumenkeep.ward.chart.own_fields import own_fields
from lumenkeep.ward.chart.store.policies import policy_of
from lumenkeep.ward.chart_file.bounds import FileBounds, bounds_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from lumenkeep.core.entries import Field


def bounds_of_chart() -> FileBounds:
    """Return the bounds of the world, and what any policy of this chart ever added.

    What was charted under an older version or another ward's set is known here.
    """
    also: dict[str, dict[str, Field]] = {}
    for policy in _policies():
        for kind, fields in own_fields(policy).items():
            also.setdefault(kind, {}).update({one.key: one for one in fields})
    known = {kind: tuple(fields.values()) for kind, fields in also.items()}
    return FileBounds(bounds_of(load_policy(DEFAULT_SET)).spans, known)


def _policies() -> list[Policy]:
    rows = PolicyVersion.objects.exclude(files=[])
    names = {*shipped_sets(), *Ward.objects.values_list("policy_set", flat=True)}
    ways: list[Callable[[], Policy]] = [partial(policy_of, row) for row in rows]
    ways += [partial(load_policy, name) for name in sorted(names)]
    found = []
    for way in ways:
        # A set that cannot be read any more adds nothing.
        with suppress(PolicyError):
            found.append(way())
    return found
