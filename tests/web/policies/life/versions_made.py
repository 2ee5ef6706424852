"""A repository with a version on it, made from the shipped set."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.policy.archive import policy_from_texts
from lumenkeep.ward.chart.store.policies import record_version
from lumenkeep.ward.policies.parts import Parts
from lumenkeep.ward.policies.repository import VersionRepository, version_record
from lumenkeep.ward.policies.steps import hand_over
from lumenkeep.ward.site.people import StaffRecord

if TYPE_CHECKING:
    from tests.fakes.clock import FixedClock

    from lumenkeep.ward.versions.records import DraftRecord, VersionRecord

AGATE = StaffRecord("s-agate", "Demo Agate", "educator", None, None)
BERYL = StaffRecord("s-beryl", "Demo Beryl", "educator", None, None)


def draft_with(
    repository: VersionRepository, clock: FixedClock, number: str, value: object
) -> DraftRecord:
    """Return a draft on the shipped set in which one number's first value differs."""
    base = version_record(record_version("quillmere", clock.now()))
    draft = repository.start_draft(base, "Ours", AGATE.key, clock.now())
    parts = Parts.of(draft.layers)
    table = parts.table("number", number)
    values = [{**table["values"][0], "value": value}]
    files = parts.with_part("number", number, {**table, "values": values})
    assert repository.save_draft(draft, files, AGATE.key, clock.now())
    found = repository.draft(draft.key)
    assert found
    return found


def proved(
    repository: VersionRepository, clock: FixedClock, draft: DraftRecord
) -> VersionRecord:
    """Return the draft handed over, as if its proof had just held."""
    digest = policy_from_texts(draft.layers).digest
    proof = {"proved": True, "policy": {"digest": digest}}
    return hand_over(repository, clock, draft, AGATE, proof)
