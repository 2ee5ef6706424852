"""Take a step in a policy version's life: hand over, approve, start, call off, retire."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.errors import Fault
from lumenkeep.ward.versions.life import (
    LifeError,
    must_be_approvable,
    must_be_callable_off,
    must_be_retirable,
    must_be_startable,
    must_keep_policy,
    standing_of,
    timeline,
)
from lumenkeep.ward.versions.records import (
    APPROVED,
    CALLED_OFF,
    DRAFTED,
    IN_FORCE,
    PROVED,
    RETIRED,
    NewStep,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime
    from typing import Any

    from lumenkeep.ward.policies.repository import VersionRepository
    from lumenkeep.ward.site.people import Clock, StaffRecord
    from lumenkeep.ward.versions.records import DraftRecord, StepRecord, VersionRecord


def hand_over(
    repository: VersionRepository,
    clock: Clock,
    draft: DraftRecord,
    person: StaffRecord,
    proof: Mapping[str, Any] | None,
) -> VersionRecord:
    """Keep a proved draft as a version that somebody else can approve.

    Parameters
    ----------
    draft
        As it is to be kept; later changes make another version.
    person
        Who hands it over.
    proof
        The proof of exactly these files, as ``proof_as_json`` writes it; None where
        there is none.

    Raises
    ------
    LifeError
        ``policy-life-no-right``, or ``policy-life-not-proved``: the proof is
        missing, of another text, or does not hold.
    """
    must_keep_policy(person)
    now = clock.now()
    version = _proved_version(repository, now, draft, proof)
    if not any(step.kind == PROVED for step in repository.steps(version.id)):
        drafted = [NewStep(version.id, DRAFTED, by) for by in draft.editors]
        repository.add_steps(
            [
                *drafted,
                NewStep(version.id, PROVED, person.key, body=dict(proof or {})),
            ],
            now,
        )
    return version


def _proved_version(
    repository: VersionRepository,
    now: datetime,
    draft: DraftRecord,
    proof: Mapping[str, Any] | None,
) -> VersionRecord:
    if proof is None or not proof.get("proved"):
        raise LifeError([_not_proved()])
    version = repository.keep_version(draft, now)
    if proof.get("policy", {}).get("digest") != version.digest:
        raise LifeError([_not_proved()])
    return version


def _not_proved() -> Fault:
    return Fault(
        "policy-life-draft-not-proved",
        "The draft as it stands is not proved.",
        "proof",
        "wait for the proof, mend what it shows, and hand it over then",
    )


def approve(
    repository: VersionRepository,
    clock: Clock,
    version: int,
    person: StaffRecord,
    note: str = "",
) -> Sequence[StepRecord]:
    """Approve a proved version that somebody else drafted.

    Raises
    ------
    LifeError
        As `must_be_approvable`.
    """
    must_be_approvable(repository.steps(version), person)
    step = NewStep(version, APPROVED, person.key, note=note)
    return repository.add_steps([step], clock.now())


def put_in_force(
    repository: VersionRepository,
    clock: Clock,
    version: int,
    person: StaffRecord,
    *,
    wards: Sequence[str],
    starts_at: datetime | None,
) -> Sequence[StepRecord]:
    """Put an approved version in force on wards.

    Parameters
    ----------
    wards
        Keys of the wards.
    starts_at
        From when (UTC); None for at once.

    Raises
    ------
    LifeError
        As `must_keep_policy` and `must_be_startable`.
    """
    must_keep_policy(person)
    now = clock.now()
    start = starts_at or now
    must_be_startable(repository.steps(), version, wards, start, now)
    return repository.add_steps(
        [
            NewStep(version, IN_FORCE, person.key, ward=ward, starts_at=start)
            for ward in wards
        ],
        now,
    )


def call_off(
    repository: VersionRepository, clock: Clock, step: int, person: StaffRecord
) -> Sequence[StepRecord]:
    """Call off a start that has not begun.

    Raises
    ------
    LifeError
        As `must_keep_policy` and `must_be_callable_off`.
    """
    must_keep_policy(person)
    now = clock.now()
    planned = must_be_callable_off(repository.steps(), step, now)
    return repository.add_steps(
        [NewStep(planned.version, CALLED_OFF, person.key, calls_off=planned.id)], now
    )


def retire(
    repository: VersionRepository,
    clock: Clock,
    version: int,
    person: StaffRecord,
    note: str = "",
) -> Sequence[StepRecord]:
    """Retire a version now; its wards go back to the set that they name.

    What was planned with it is called off.

    Raises
    ------
    LifeError
        As `must_be_retirable`; ``policy-life-another-starts-later`` where another
        version is planned on a ward where this one is in force.
    """
    must_be_retirable(repository.steps(version), person)
    now, steps = clock.now(), repository.steps()
    found = standing_of(steps, version, now)
    off = [
        NewStep(version, CALLED_OFF, person.key, calls_off=step.id)
        for step in found.planned
    ]
    for step in found.in_force:
        _must_be_last(steps, step)
    ends = [
        NewStep(version, RETIRED, person.key, ward=step.ward, starts_at=now)
        for step in found.in_force
    ]
    whole = NewStep(version, RETIRED, person.key, note=note)
    return repository.add_steps([*off, *ends, whole], now)


def _must_be_last(steps: Sequence[StepRecord], step: StepRecord) -> None:
    if step.ward is None:
        return
    others = [s for s in timeline(steps, step.ward) if s.version != step.version]
    if any(
        s.starts_at and step.starts_at and s.starts_at > step.starts_at for s in others
    ):
        raise LifeError(
            [
                Fault(
                    "policy-life-another-starts-later",
                    f"On the ward '{step.ward}' another version is about to take over.",
                    "ward",
                    "let it, or call it off first",
                )
            ]
        )
