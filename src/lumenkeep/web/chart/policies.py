"""Policy versions on record: what each entry was charted under."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.policy import Policy, load_policy
from lumenkeep.policy.archive import SetTexts, policy_from_texts, set_texts
from lumenkeep.web.chart.models import PolicyVersion

if TYPE_CHECKING:
    from datetime import datetime


class DjangoPolicies:
    """The policy sets, by name from disk and by instant from the record."""

    def in_force(self, name: str) -> Policy:
        """Return the set that ``name`` stands for now; read anew when a file changed."""
        return load_policy(name)

    def in_force_at(self, name: str, at: datetime) -> Policy | None:
        """Return the version of the set that was last seen first before ``at`` (UTC)."""
        row = (
            PolicyVersion.objects.filter(
                set_id=load_policy(name).id, first_seen__lte=at
            )
            .order_by("-first_seen", "-id")
            .first()
        )
        return None if row is None else policy_of(row)


def policy_of(row: PolicyVersion) -> Policy:
    """Return the policy as it was recorded."""
    return policy_from_texts(
        [SetTexts.of(layer["name"], layer["files"]) for layer in row.files]
    )


def record_version(name: str, seen_at: datetime) -> PolicyVersion:
    """Return the record of the set as it stands now, made if it is new.

    Parameters
    ----------
    name
        As the ward names its set.
    seen_at
        When it is seen (UTC); kept only for a version not seen before.
    """
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
