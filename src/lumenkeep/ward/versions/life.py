"""The life of a policy version: which step may follow which, who may take it, and when.

Draft, proved, approved by another person, in force on a ward from an instant, retired.
On one ward the steps that say what is in force follow each other in time, so no two
versions can be in force there at one instant, and nothing that was can change.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.errors import Fault, InputError
from lumenkeep.ward.site.rights import Right, may
from lumenkeep.ward.versions.records import (
    APPROVED,
    CALLED_OFF,
    DRAFTED,
    IN_FORCE,
    PROVED,
    RETIRED,
    StepRecord,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import datetime

    from lumenkeep.ward.site.people import StaffRecord


class LifeError(InputError):
    """A step that a version's life does not allow; nothing was written."""


def standing_steps(steps: Iterable[StepRecord]) -> list[StepRecord]:
    """Return the steps that were not called off."""
    steps = list(steps)
    off = {step.calls_off for step in steps if step.kind == CALLED_OFF}
    return [step for step in steps if step.id not in off and step.kind != CALLED_OFF]


def timeline(steps: Iterable[StepRecord], ward: str) -> list[StepRecord]:
    """Return what begins and ends on one ward, in the order of its instants."""
    found = [step for step in standing_steps(steps) if step.ward == ward]
    return sorted(found, key=_start)


def reigning(steps: Iterable[StepRecord], ward: str, at: datetime) -> StepRecord | None:
    """Return the step by which a version is in force on a ward at an instant (UTC).

    None where none is: then the ward works with the set it names.
    """
    last = None
    for step in timeline(steps, ward):
        if _start(step) <= at:
            last = step
    return last if last is not None and last.kind == IN_FORCE else None


def _start(step: StepRecord) -> datetime:
    return step.starts_at or step.at


@dataclass(frozen=True, slots=True)
class VersionStanding:
    """Where a version stands in its life.

    Attributes
    ----------
    stage
        "proved", "approved", "in-force" (somewhere), "planned" (somewhere, later),
        "replaced" or "retired".
    in_force, planned
        The steps by which it is, or will be, in force.
    """

    stage: str
    in_force: tuple[StepRecord, ...]
    planned: tuple[StepRecord, ...]


def standing_of(
    steps: Iterable[StepRecord], version: int, at: datetime
) -> VersionStanding:
    """Return where a version stands at an instant (UTC), from the steps of all."""
    steps = list(steps)
    live = standing_steps(steps)
    own = [step for step in live if step.version == version]
    starts = [step for step in own if step.kind == IN_FORCE and step.ward]
    here = tuple(s for s in starts if reigning(live, s.ward or "", at) == s)
    later = tuple(s for s in starts if _start(s) > at)
    kinds = {step.kind for step in own}
    if here:
        stage = "in-force"
    elif later:
        stage = "planned"
    elif any(s.kind == RETIRED and s.ward is None for s in own):
        stage = "retired"
    elif starts:
        stage = "replaced"
    else:
        stage = "approved" if APPROVED in kinds else "proved"
    return VersionStanding(stage, here, later)


# ------------------------------------------------------------- what is refused


def must_keep_policy(person: StaffRecord) -> None:
    """Refuse a person who may not take any step.

    Raises
    ------
    LifeError
        ``policy-life-no-right``.
    """
    if not may(person, Right.KEEP_POLICY):
        _refuse(
            Fault(
                "policy-life-no-right",
                "Only an educator may change, approve or start a policy.",
                "by",
                "ask an educator",
            )
        )


def must_be_approvable(own: Sequence[StepRecord], person: StaffRecord) -> None:
    """Refuse an approval that would not be one.

    Parameters
    ----------
    own
        The steps of the version.
    person
        Who would approve.

    Raises
    ------
    LifeError
        ``policy-life-no-right``, ``policy-life-not-proved``,
        ``policy-life-own-draft`` (four eyes), ``policy-life-approved-already`` or
        ``policy-life-retired``.
    """
    must_keep_policy(person)
    _must_not_be_retired(own)
    kinds = {step.kind for step in own}
    if PROVED not in kinds:
        _refuse(
            Fault(
                "policy-life-not-proved",
                "This version is not proved, so nobody may approve it.",
                "version",
                "prove it first",
            )
        )
    if APPROVED in kinds:
        _refuse(
            Fault(
                "policy-life-approved-already",
                "This version has been approved already.",
                "version",
                "look at its steps",
            )
        )
    if any(step.kind == DRAFTED and step.by == person.key for step in own):
        _refuse(
            Fault(
                "policy-life-own-draft",
                "You have worked on this draft yourself; four eyes are needed.",
                "by",
                "ask another educator to read and approve it",
            )
        )


def must_be_startable(
    steps: Sequence[StepRecord],
    version: int,
    wards: Sequence[str],
    starts_at: datetime,
    now: datetime,
) -> None:
    """Refuse to put a version in force where that would not be right.

    Parameters
    ----------
    steps
        The steps of all versions.
    wards
        Keys of the wards on which it would be in force.
    starts_at
        From when (UTC).
    now
        The present (UTC).

    Raises
    ------
    LifeError
        ``policy-life-not-approved``, ``policy-life-retired``,
        ``policy-life-no-ward``, ``policy-life-in-the-past``,
        ``policy-life-another-starts-later`` or ``policy-life-in-force-already``.
    """
    own = [step for step in steps if step.version == version]
    _must_not_be_retired(own)
    if not any(step.kind == APPROVED for step in own):
        _refuse(
            Fault(
                "policy-life-not-approved",
                "Nobody has approved this version yet.",
                "version",
                "have another educator approve it",
            )
        )
    if not wards:
        _refuse(
            Fault(
                "policy-life-no-ward",
                "No ward is chosen.",
                "ward",
                "tick the wards that are to work with it",
            )
        )
    if starts_at < now:
        _refuse(
            Fault(
                "policy-life-in-the-past",
                "What was in force stays as it was: it cannot start in the past.",
                "starts-at",
                "choose a later time",
            )
        )
    for ward in wards:
        _must_fit(steps, version, ward, starts_at)


def _must_fit(
    steps: Sequence[StepRecord], version: int, ward: str, starts_at: datetime
) -> None:
    after = [step for step in timeline(steps, ward) if _start(step) >= starts_at]
    if after:
        _refuse(
            Fault(
                "policy-life-another-starts-later",
                f"On the ward '{ward}' another change is planned for then or later.",
                "starts-at",
                "call that one off first, or choose a time after it",
            )
        )
    now_there = reigning(steps, ward, starts_at)
    if now_there is not None and now_there.version == version:
        _refuse(
            Fault(
                "policy-life-in-force-already",
                f"On the ward '{ward}' this version is in force already.",
                "ward",
                "leave this ward out",
            )
        )


def must_be_callable_off(
    steps: Sequence[StepRecord], step_id: int, now: datetime
) -> StepRecord:
    """Return the planned start that may be called off.

    Raises
    ------
    LifeError
        ``policy-life-nothing-to-call-off``: there is none, or it has begun.
    """
    for step in standing_steps(steps):
        is_start = step.kind == IN_FORCE and step.ward is not None
        if step.id == step_id and is_start and _start(step) > now:
            return step
    raise LifeError(
        [
            Fault(
                "policy-life-nothing-to-call-off",
                "There is no such start to call off, or it has begun.",
                "step",
                "put another version in force, or retire this one",
            )
        ]
    )


def must_be_retirable(own: Sequence[StepRecord], person: StaffRecord) -> None:
    """Refuse to retire what is retired.

    Raises
    ------
    LifeError
        ``policy-life-no-right`` or ``policy-life-retired``.
    """
    must_keep_policy(person)
    _must_not_be_retired(own)


def _must_not_be_retired(own: Iterable[StepRecord]) -> None:
    if any(step.kind == RETIRED and step.ward is None for step in own):
        _refuse(
            Fault(
                "policy-life-retired",
                "This version is retired.",
                "version",
                "start a new draft from it",
            )
        )


def _refuse(fault: Fault) -> None:
    raise LifeError([fault])
