"""People and supplies for a cell, with the glove sizes of the people at hand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.model import Fact, Unknown
from lumenkeep.core.planning.plan import RoleLine, SupplyLine
from lumenkeep.core.planning.supplies import supplies
from lumenkeep.core.planning.technique import film_in_words, films_that_may_suit
from lumenkeep.core.policy import keep

if TYPE_CHECKING:
    from lumenkeep.core.planning.prepared import Prepared
    from lumenkeep.core.planning.skeleton import Skeleton
    from lumenkeep.core.policy import Situation


@dataclass(frozen=True, slots=True)
class Layout:
    """Who stands where with which gloves, and what lies ready."""

    roles: tuple[RoleLine, ...]
    supplies: tuple[SupplyLine, ...]


def layout(prepared: Prepared, situation: Situation, bones: Skeleton) -> Layout:
    """Return people and supplies, worked out once for a cell and two glove sizes."""
    people = situation.case.people
    operator, assistant = _size(people.operator.glove), _size(people.assistant.glove)
    key = (bones.cell, operator, assistant)
    found: Layout | None = prepared.layouts.get(key)
    if found is None:
        film = film_in_words(
            prepared.book, films_that_may_suit(prepared.book, situation)
        )
        sizes = {"operator": operator, "assistant": assistant, "film": film}
        roles = tuple(
            RoleLine(role.id, role.label, role.does, role.gloves, sizes[role.id])
            for role in bones.staffing.roles
        )
        goes_on = bones.verdict.word != "stop"
        lines = supplies(prepared, situation, sizes) if goes_on else ()
        found = Layout(roles, lines)
        keep(prepared.layouts, key, found)
    return found


def _size(fact: Fact[str]) -> str | None:
    return None if isinstance(fact, Unknown) else fact
