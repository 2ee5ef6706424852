"""Under which policy version an imported entry is written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model.place import place
from lumenkeep.core.policy import DEFAULT_SET, load_policy, shipped_sets
from lumenkeep.errors import PolicyError
from lumenkeep.ward.chart.models import PolicyVersion, Ward
from lumenkeep.ward.chart.store.policies import record_version
from lumenkeep.ward.chart_file.chart_file import policy_named

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry


class CarriedPolicies:
    """The versions that the entries of a file name, recorded as they are needed.

    A version that the file names stays. One that this chart does not know is recorded
    with its texts where a set here has them, else by its name alone: nothing is then
    judged by it. An entry that names none is written under what is in force now on the
    ward where its child lay last.

    Parameters
    ----------
    told
        Every entry of the file.
    now
        The present (UTC).
    """

    def __init__(self, told: Sequence[Entry], now: datetime) -> None:
        self._told = told
        self._now = now
        self._wards = dict(Ward.objects.values_list("key", "policy_set"))
        self._of_name: dict[str, int] = {}
        self._of_child: dict[str, int] = {}

    def version_of(self, entry: Entry) -> int:
        """Return the key of the version that an entry is written under."""
        if not entry.policy:
            return self._in_force(entry.child)
        if entry.policy not in self._of_name:
            self._of_name[entry.policy] = self._named(entry.policy)
        return self._of_name[entry.policy]

    def _in_force(self, child: str) -> int:
        if child not in self._of_child:
            entries = [one for one in self._told if one.child == child]
            ward = place(entries).ward
            name = self._wards.get(ward or "", DEFAULT_SET)
            version = record_version(name, self._now, ward)
            self._of_child[child] = version.pk
        return self._of_child[child]

    def _named(self, policy: str) -> int:
        named = policy_named(policy) or {}
        digest = named.get("digest", "")
        known = PolicyVersion.objects.filter(digest=digest).first()
        if known is None:
            known = self._recorded(policy, named, digest)
        return known.pk

    def _recorded(
        self, policy: str, named: dict[str, str], digest: str
    ) -> PolicyVersion:
        first = min(one.written_at for one in self._told if one.policy == policy)
        for name in {*shipped_sets(), *self._wards.values()}:
            if _digest_of(name) == digest:
                return record_version(name, first)
        return PolicyVersion.objects.create(
            set_id=named.get("set", ""),
            version=named.get("version", ""),
            digest=digest,
            files=[],
            first_seen=first,
        )


def _digest_of(name: str) -> str | None:
    try:
        return load_policy(name).digest
    except PolicyError:
        return None
