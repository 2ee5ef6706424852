"""What stands twice in procedure files under one id: both places are named.

Steps, slips and rules of one id may stand for one another where the plan differs; they
may not both hold in one setting.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.asepsis.kept.settings import PROCEDURE, together, when_of
from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from lumenkeep.core.asepsis.procedure import Bedside


def same_ids(bedside: Bedside) -> Iterator[Fault]:
    """Yield a fault for each statement that stands twice for one setting."""
    groups: list[tuple[str, Sequence[Any]]] = [
        ("rule", bedside.rules),
        ("slip", bedside.slips),
        ("move", bedside.moves),
        ("safe", bedside.safe),
        ("needed", bedside.needed),
        ("head", bedside.heads),
        ("kind", bedside.kinds),
    ]
    for group, rows in groups:
        yield from _twice(group, rows, {})
    for one in bedside.procedures.values():
        yield from _twice(f"procedure {one.id}", one.steps, {PROCEDURE: one.id})


def _twice(
    group: str, rows: Sequence[Any], fixed: Mapping[str, str]
) -> Iterator[Fault]:
    by_id: dict[str, list[Any]] = {}
    for row in rows:
        by_id.setdefault(row.id, []).append(row)
    for id_, variants in by_id.items():
        for place, other in enumerate(variants):
            for one in variants[:place]:
                if together(when_of(one), when_of(other), fixed):
                    yield _same(group, id_, one.where, other.where)


def _same(group: str, id_: str, first: str, other: str) -> Fault:
    return Fault(
        "policy-same-id",
        f"The id '{id_}' is used twice ({group}).",
        other,
        "keep one, give it another id, or say by 'when' which counts where; the other "
        f"stands at {first}",
    )
