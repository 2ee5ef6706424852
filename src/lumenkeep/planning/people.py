"""Who is at the bedside, and whose gloves lie ready."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.model import Unknown
from lumenkeep.planning.plan import RoleLine

if TYPE_CHECKING:
    from lumenkeep.model import Case
    from lumenkeep.policy.rules import Staffing


def glove_sizes(case: Case) -> dict[str, str | None]:
    """Return the glove size of each role; None where it is not known."""
    return {
        "operator": _size(case.people.operator.glove),
        "assistant": _size(case.people.assistant.glove),
    }


def _size(fact: str | Unknown) -> str | None:
    return None if isinstance(fact, Unknown) else fact


def roles(staffing: Staffing, sizes: dict[str, str | None]) -> tuple[RoleLine, ...]:
    """Return the people of a staffing rule with the gloves that fit them."""
    return tuple(
        RoleLine(role.id, role.label, role.does, role.gloves, sizes.get(role.id))
        for role in staffing.roles
    )
