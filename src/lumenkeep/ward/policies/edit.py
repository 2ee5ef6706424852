"""Save one part of a draft: read back by the real reader, and never over another's work.

Whoever saves says what they saw. If that part has been saved by somebody else since,
nothing is written and both values come back, for the person to choose between.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from lumenkeep.core.policy.archive import SetTexts, policy_from_texts
from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.errors import Fault, PolicyError
from lumenkeep.ward.policies.parts import SET, Parts, Table, stamp_of
from lumenkeep.ward.versions.life import LifeError, must_keep_policy

if TYPE_CHECKING:
    from lumenkeep.ward.policies.repository import VersionRepository
    from lumenkeep.ward.site.people import Clock, StaffRecord
    from lumenkeep.ward.versions.records import DraftRecord

ORDERS = ("antiseptics", "dressings")
ABOUT = ("title", "version", "call")
TRIES = 4

Change = Callable[[Parts], dict[str, str]]


@dataclass(frozen=True, slots=True)
class Conflict:
    """Somebody else saved this part first.

    Attributes
    ----------
    theirs
        The part as it stands now; None where they took it out.
    stamp
        Its mark, to save over it knowingly.
    by
        Key of who saved the draft last.
    """

    theirs: Table | None
    stamp: str
    by: str


@dataclass(frozen=True, slots=True)
class PartName:
    """Which part: its kind, and its id; for the set's own table an order or "about"."""

    kind: str
    id: str


def part_now(parts: Parts, name: PartName) -> Table | None:
    """Return a part of a draft as it counts; None where there is none."""
    if name.kind != SET:
        return parts.table(name.kind, name.id)
    if name.id in ORDERS:
        return {name.id: list(parts.of_the_set(name.id) or ())}
    return {key: parts.of_the_set(key) or "" for key in ABOUT}


def with_change(parts: Parts, name: PartName, table: Table | None) -> dict[str, str]:
    """Return the draft's files with the part as given, or taken out (None)."""
    if name.kind == SET:
        return parts.with_part(SET, SET, {**parts.set_table, **(table or {})})
    if table is None:
        return parts.without_part(name.kind, name.id)
    return parts.with_part(name.kind, name.id, table)


def save_part(
    repository: VersionRepository,
    clock: Clock,
    key: str,
    person: StaffRecord,
    name: PartName,
    *,
    seen: str,
    table: Table | None = None,
    change: Change | None = None,
) -> DraftRecord | Conflict:
    """Save one part of a draft, and return the draft as saved.

    Parameters
    ----------
    key
        Of the draft.
    name
        Which part.
    seen
        Mark of the part as the person saw it (`stamp_of`).
    table
        The part as it is to be; None takes it out.
    change
        Makes the new files instead, where the part is to be as it comes from below.

    Raises
    ------
    LifeError
        ``policy-life-no-right``, or ``policy-draft-gone``.
    PolicyError
        Every fault that the set would have; nothing was saved.
    """
    must_keep_policy(person)
    for _ in range(TRIES):
        draft = open_draft(repository, key)
        parts = Parts.of(draft.layers)
        now = part_now(parts, name)
        if stamp_of(now) != seen:
            return Conflict(now, stamp_of(now), draft.edited_by)
        files = change(parts) if change else with_change(parts, name, table)
        fresh = with_files(draft, files)
        bedside_of(policy_from_texts(fresh.layers))
        if repository.save_draft(fresh, files, person.key, clock.now()):
            return open_draft(repository, key)
    raise LifeError([_busy()])


def save_files(
    repository: VersionRepository,
    clock: Clock,
    key: str,
    person: StaffRecord,
    files: Mapping[str, str],
    *,
    revision: int,
) -> DraftRecord:
    """Save all files of a draft at once, as an import does.

    Raises
    ------
    LifeError
        ``policy-life-no-right``, ``policy-draft-gone``, or ``policy-draft-busy``:
        somebody saved it since ``revision``.
    PolicyError
        Every fault of the set; nothing was saved.
    """
    must_keep_policy(person)
    draft = open_draft(repository, key)
    fresh = with_files(draft, files)
    bedside_of(policy_from_texts(fresh.layers))
    is_same = draft.revision == revision
    if not is_same or not repository.save_draft(fresh, files, person.key, clock.now()):
        raise LifeError([_busy()])
    return open_draft(repository, key)


def open_draft(repository: VersionRepository, key: str) -> DraftRecord:
    """Return a draft that can be worked on.

    Raises
    ------
    LifeError
        ``policy-draft-gone``: there is none of that key, or it was put away.
    """
    draft = repository.draft(key)
    if draft is None or not draft.is_open:
        raise LifeError(
            [
                Fault(
                    "policy-draft-gone",
                    "There is no such draft any more.",
                    "draft",
                    "start a new one",
                )
            ]
        )
    return draft


def with_files(draft: DraftRecord, files: Mapping[str, str]) -> DraftRecord:
    """Return the draft with other files, and the title that they give it."""
    parts = Parts.of((*draft.below, SetTexts.of(draft.set_id, files)))
    title = parts.set_table.get("title")
    return replace(
        draft, files=files, title=title if isinstance(title, str) else draft.title
    )


def field_faults(
    error: PolicyError, draft: DraftRecord, parts: Parts, name: PartName
) -> tuple[dict[str, Fault], list[Fault]]:
    """Return the faults of a part by their path in it, and those of other parts.

    Parameters
    ----------
    parts
        Of the draft as it would have been saved.
    """
    starts = [f"{draft.set_id}/{place}" for place in parts.places(name.kind, name.id)]
    by_path: dict[str, Fault] = {}
    others = []
    for fault in error.faults:
        path = next(
            (fault.where[len(s) :].lstrip(".") for s in starts if _begins(fault, s)),
            None,
        )
        if path is None or path in by_path:
            others.append(fault)
        else:
            by_path[path] = fault
    return by_path, others


def _begins(fault: Fault, start: str) -> bool:
    rest = fault.where[len(start) :]
    return fault.where.startswith(start) and (not rest or rest[0] in ".[")


def _busy() -> Fault:
    return Fault(
        "policy-draft-busy",
        "Somebody saved this draft since you opened it; nothing of yours was saved.",
        "draft",
        "look at what they saved, and send it again",
    )
