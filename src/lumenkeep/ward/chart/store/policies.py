"""Policy versions on record: what each entry was charted under."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import cached_property
from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy import Policy, load_policy
from lumenkeep.core.policy.archive import SetTexts, policy_from_texts, set_texts
from lumenkeep.ward.chart.models import PolicyVersion
from lumenkeep.ward.versions.in_force import (
    policy_in_force,
    version_in_force,
    ward_steps,
)

if TYPE_CHECKING:
    from lumenkeep.ward.site.people import Clock
    from lumenkeep.ward.versions.records import StepRecord


class PoliciesInForce:
    """The policies of the wards: what is approved and in force, else the set named.

    Made for one request: it looks up once what is in force where.

    Parameters
    ----------
    clock
        Tells the present.
    """

    def __init__(self, clock: Clock | None = None) -> None:
        self._clock = clock

    @cached_property
    def _steps(self) -> list[StepRecord]:
        return ward_steps()

    def in_force(self, name: str, ward: str | None = None) -> Policy:
        """Return the policy in force now; a set on disk is read anew when it changed.

        Parameters
        ----------
        name
            The set that the ward names.
        ward
            Key of the ward; a version approved and in force there goes before it.

        Raises
        ------
        PolicyError
            The set is faulty, or there is none of that name.
        """
        now = self._clock.now() if self._clock else datetime.now(UTC)
        found = policy_in_force(self._steps, ward, now) if ward else None
        return found or load_policy(name)

    def in_force_at(
        self, name: str, at: datetime, ward: str | None = None
    ) -> Policy | None:
        """Return the policy in force at ``at`` (UTC), else the set as last seen then.

        None if none was on record; the rest as of `in_force`.
        """
        found = policy_in_force(self._steps, ward, at) if ward else None
        if found is not None:
            return found
        row = (
            PolicyVersion.objects.filter(
                set_id=load_policy(name).id, first_seen__lte=at, steps=None
            )
            .exclude(files=[])
            .order_by("-first_seen", "-id")
            .first()
        )
        return None if row is None else policy_of(row)


def policy_of(row: PolicyVersion) -> Policy:
    """Return the policy as it was recorded."""
    return policy_from_texts(
        [SetTexts.of(layer["name"], layer["files"]) for layer in row.files]
    )


def record_version(
    name: str, seen_at: datetime, ward: str | None = None
) -> PolicyVersion:
    """Return the record of what is in force now, made if it is new.

    Parameters
    ----------
    name
        As the ward names its set.
    seen_at
        When it is seen (UTC); kept only for a version not seen before.
    ward
        Key of the ward; a version approved and in force there goes before the set.
    """
    chosen = version_in_force(ward_steps(), ward, seen_at) if ward else None
    if chosen is not None:
        return PolicyVersion.objects.get(pk=chosen)
    policy = load_policy(name)
    known = PolicyVersion.objects.filter(digest=policy.digest).first()
    if known is not None:
        return known
    layers = set_texts(name)
    files: list[dict[str, Any]] = [
        {"name": layer.name, "files": dict(layer.files)} for layer in layers
    ]
    kept = policy_from_texts(layers)
    return PolicyVersion.objects.create(
        set_id=kept.id,
        version=kept.version,
        digest=kept.digest,
        files=files,
        first_seen=seen_at,
    )
