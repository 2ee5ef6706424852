"""Which recorded version is in force on a ward at an instant."""

from __future__ import annotations

from dataclasses import fields
from functools import lru_cache
from typing import TYPE_CHECKING

from lumenkeep.core.policy.archive import SetTexts, policy_from_texts
from lumenkeep.ward.versions.life import reigning
from lumenkeep.ward.versions.models import PolicyStep
from lumenkeep.ward.versions.records import CALLED_OFF, StepRecord

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime
    from typing import Any

    from django.db.models import QuerySet

    from lumenkeep.core.policy import Policy

_COLUMNS = {"version": "version_id", "ward": "ward_id", "calls_off": "calls_off_id"}
_COLUMN_OF = {one.name: _COLUMNS.get(one.name, one.name) for one in fields(StepRecord)}


def step_records(rows: QuerySet[PolicyStep]) -> list[StepRecord]:
    """Return the steps of a query in the order of writing; one query."""
    found = rows.order_by("id").values_list(*_COLUMN_OF.values())
    return [StepRecord(**dict(zip(_COLUMN_OF, row, strict=True))) for row in found]


def ward_steps() -> list[StepRecord]:
    """Return the steps that say what is in force on the wards; one query."""
    rows = PolicyStep.objects.exclude(ward=None) | PolicyStep.objects.filter(
        kind=CALLED_OFF
    )
    return step_records(rows)


def version_in_force(
    steps: Sequence[StepRecord], ward: str, at: datetime
) -> int | None:
    """Return the id of the version in force on a ward at an instant (UTC), if any."""
    step = reigning(steps, ward, at)
    return None if step is None else step.version


def policy_in_force(
    steps: Sequence[StepRecord], ward: str, at: datetime
) -> Policy | None:
    """Return the policy in force on a ward at an instant (UTC); None if none is."""
    step = reigning(steps, ward, at)
    if step is None:
        return None
    digests = PolicyStep.objects.values_list("version__digest", flat=True)
    return policy_of_digest(digests.get(pk=step.id))


def texts_of(layers: Sequence[dict[str, Any]]) -> tuple[SetTexts, ...]:
    """Return the layers of a stored version."""
    return tuple(SetTexts.of(layer["name"], layer["files"]) for layer in layers)


@lru_cache(maxsize=64)
def policy_of_digest(digest: str) -> Policy:
    """Return the policy of a version that has steps; its digest says all of it."""
    step = PolicyStep.objects.filter(version__digest=digest).select_related("version")
    return policy_from_texts(texts_of(step[0].version.files))
