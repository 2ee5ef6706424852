"""Save a part of a draft from a page, and show what stands in the way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy.archive import SetTexts
from lumenkeep.errors import Fault, PolicyError
from lumenkeep.ward.policies.edit import (
    Conflict,
    PartName,
    Saved,
    field_faults,
    save_part,
    with_change,
)
from lumenkeep.ward.policies.pages.plain_faults import plain_fault
from lumenkeep.ward.policies.parts import Parts

if TYPE_CHECKING:
    from lumenkeep.ward.policies.edit import Change
    from lumenkeep.ward.policies.pages.desk import PolicyDesk
    from lumenkeep.ward.policies.parts import Table
    from lumenkeep.ward.versions.records import DraftRecord

REFUSED, MET_ANOTHER = 422, 409


@dataclass(frozen=True, slots=True)
class Refused:
    """The part cannot be saved so.

    Attributes
    ----------
    faults
        By path in the part.
    others
        Faults that it would cause in other parts.
    """

    faults: dict[str, Fault]
    others: list[Fault]


def try_to_save(
    found: PolicyDesk,
    draft: DraftRecord,
    name: PartName,
    seen: str,
    *,
    table: Table | None = None,
    change: Change | None = None,
) -> Saved | Conflict | Refused:
    """Save a part; return the draft, the other's value, or the faults."""
    try:
        return save_part(
            found.shelf, found.at.clock, draft.key, found.person, name,
            seen=seen, table=table, change=change,
        )  # fmt: skip
    except PolicyError as error:
        before = Parts.of(draft.layers)
        files = change(before) if change else with_change(before, name, table)
        after = Parts.of((*draft.below, SetTexts.of(draft.set_id, files)))
        by_path, others = field_faults(error, draft, after, name)
        return Refused(
            {path: plain_fault(fault) for path, fault in by_path.items()}, others
        )


def typed_of(post: Any) -> dict[str, list[str]]:
    """Return all texts of a form by name."""
    return {name: post.getlist(name) for name in post}
