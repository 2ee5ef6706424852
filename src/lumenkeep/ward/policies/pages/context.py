"""What every policy page works with: the repository, who asks, and what is in force where."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.core.exceptions import PermissionDenied
from django.http import Http404

from lumenkeep.core.policy import Policy
from lumenkeep.core.policy.archive import SetTexts, policy_from_texts, set_texts
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.acting import WardContext
from lumenkeep.ward.chart.pages.context import Asker, page_context
from lumenkeep.ward.policies.repository import VersionRepository
from lumenkeep.ward.site.people import WardRecord
from lumenkeep.ward.site.rights import Right, may
from lumenkeep.ward.versions.life import reigning
from lumenkeep.ward.versions.records import StepRecord

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date, datetime, tzinfo

    from django.http import HttpRequest

    from lumenkeep.ward.versions.records import DraftRecord, VersionRecord


@dataclass(frozen=True, slots=True)
class InForce:
    """The policy that a ward works with now.

    ``step`` is the one that put it in force; None where the ward works with the set
    that it names.
    """

    ward: WardRecord
    policy: Policy
    layers: tuple[SetTexts, ...]
    step: StepRecord | None


@dataclass(frozen=True, slots=True)
class PolicyContext(Asker):
    """The adapters, the repository, and who asks."""

    at: WardContext
    repository: VersionRepository

    @property
    def now(self) -> datetime:
        """The present instant (UTC)."""
        return self.at.clock.now()

    @property
    def zone(self) -> tzinfo:
        """The zone in which the pages tell the time: the first ward's."""
        return self.wards[0].zone

    @property
    def today(self) -> date:
        """The present day on the wards."""
        return self.now.astimezone(self.zone).date()

    @property
    def may_edit(self) -> bool:
        """Whether who asks may change, approve and start policies."""
        return may(self.person, Right.KEEP_POLICY)

    def names(self) -> Mapping[str, str]:
        """Return the names of the staff by key."""
        return {one.key: one.name for one in self.at.staff.people(None)}

    def in_force(self) -> list[InForce]:
        """Return what each ward works with now."""
        steps, now = self.repository.steps(), self.now
        found = []
        for ward in self.at.chart.wards():
            policy = self.at.policies.in_force(ward.policy_set, ward.key)
            step = reigning(steps, ward.key, now)
            version = self.repository.version(step.version) if step else None
            layers = version.layers if version else set_texts(ward.policy_set)
            found.append(InForce(ward, policy, layers, step))
        return found


def policy_context(request: HttpRequest) -> PolicyContext:
    """Return the context for whoever is signed in."""
    at, person = page_context(), person_signed_in(request)
    wards = at.chart.wards()
    open_wards = wards_open_to(person, wards) or wards
    return PolicyContext(person, open_wards, at, VersionRepository())


def editing_context(request: HttpRequest) -> PolicyContext:
    """Return the context for an educator.

    Raises
    ------
    PermissionDenied
        Somebody else asks.
    """
    found = policy_context(request)
    if not found.may_edit:
        raise PermissionDenied
    return found


def find_draft(found: PolicyContext, key: str) -> DraftRecord:
    """Return a draft that is still worked on.

    Raises
    ------
    Http404
        There is none of that key.
    """
    draft = found.repository.draft(key)
    if draft is None or not draft.is_open:
        raise Http404
    return draft


def find_version(found: PolicyContext, id_: int) -> VersionRecord:
    """Return a version that was handed over.

    Raises
    ------
    Http404
        There is none of that id.
    """
    record = found.repository.version(id_)
    if record is None or not found.repository.steps(id_):
        raise Http404
    return record


def policy_of_draft(draft: DraftRecord) -> Policy:
    """Return the policy that a draft makes; drafts are saved only when they make one."""
    return policy_from_texts(draft.layers)


def groups_in_force(in_force: Sequence[InForce]) -> list[list[InForce]]:
    """Return the wards that work with one and the same policy together."""
    groups: dict[str, list[InForce]] = {}
    for one in in_force:
        groups.setdefault(one.policy.digest, []).append(one)
    return list(groups.values())
