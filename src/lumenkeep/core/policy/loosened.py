"""What a set says openly that it loosens of the core: by id, with reason and source."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.model.reading import closest
from lumenkeep.core.policy.read_basics import HOW, source_ref
from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from lumenkeep.core.model.reading import Reader
    from lumenkeep.core.policy.read_basics import Gathered

LOOSENED = "loosened"


@dataclass(frozen=True, slots=True)
class Loosened:
    """One statement of the core that a set does not hold itself to.

    Attributes
    ----------
    id
        Of the requirement, floor, sane span, concern or rule of asepsis; or of what is
        published of procedures, as "dressing-change.D12".
    because
        The hospital's reason.
    source
        What it rests on.
    how
        How the source is known; None where the source says it.
    where
        File and key, for messages.
    """

    id: str
    because: str
    source: str
    how: str | None
    where: str


def openly(id_: str, more: str = "") -> str:
    """Return how to depart on purpose from what a set is held to.

    Parameters
    ----------
    more
        Said behind the id, with a space before it; empty for nothing.
    """
    return (
        f"whoever means it names '{id_}'{more} under [[loosened]], "
        "with reason and source"
    )


def read_loosened(file: Reader, into: Gathered) -> list[Loosened]:
    """Return what a file loosens."""
    found = []
    for row in file.rows(LOOSENED):
        found.append(
            Loosened(
                id=row.text("id", needed=True) or "",
                because=row.text("because", needed=True) or "",
                source=source_ref(row, into),
                how=row.word("how", HOW),
                where=row.where,
            )
        )
        row.finish()
    return found


def loosened_faults(
    loosened: Iterable[Loosened], known: Collection[str]
) -> list[Fault]:
    """Return a fault for each entry that loosens nothing, or what another did already.

    Parameters
    ----------
    known
        Every id of the core.
    """
    faults = []
    seen: dict[str, str] = {}
    for one in loosened:
        if one.id in seen:
            faults.append(
                Fault(
                    "policy-same-id",
                    f"'{one.id}' is loosened twice.",
                    one.where,
                    f"keep one of the two; the other stands at {seen[one.id]}",
                )
            )
        seen[one.id] = one.where
        if one.id not in known:
            near = closest(one.id, known)
            faults.append(
                Fault(
                    "policy-loosens-nothing",
                    f"'{one.id}' is nothing that every set is held to.",
                    f"{one.where}.id",
                    f"did you mean '{near}'?" if near else "take the entry out",
                )
            )
    return faults
