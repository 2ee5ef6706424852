"""Whether two people who looked at the same line saw the same."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.rounds.look import KEPT, NOT_KEPT, LineLook
from lumenkeep.core.outcomes.statistics.agreement import Agreement, cohen_kappa

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import timedelta

JUDGED = (KEPT, NOT_KEPT)


@dataclass(frozen=True, slots=True)
class ItemAgreement:
    """How well pairs agreed on one item.

    ``pairs`` counts those in which both saw it; ``agreement`` is None without one.
    """

    item: str
    pairs: int
    agreement: Agreement | None


@dataclass(frozen=True, slots=True)
class PairedLooks:
    """What pairs of people agreed on: each item, and all items taken together."""

    pairs: int
    items: tuple[ItemAgreement, ...]
    together: ItemAgreement


def agreement_of_pairs(
    looks: Iterable[LineLook], items: Sequence[str], within: timedelta
) -> PairedLooks:
    """Return the agreement of two people over the same lines.

    Parameters
    ----------
    looks
        Of any kind of observer.
    items
        Ids of the items.
    within
        Two looks this far apart at most saw the same thing.
    """
    paired = tuple(pairs_of(looks, within))
    tables = {item: _table(item, paired) for item in items}
    summed = [
        [sum(table[row][column] for table in tables.values()) for column in (0, 1)]
        for row in (0, 1)
    ]
    return PairedLooks(
        len(paired),
        tuple(_agreement(item, table) for item, table in tables.items()),
        _agreement("", summed),
    )


def pairs_of(
    looks: Iterable[LineLook], within: timedelta
) -> Iterator[tuple[LineLook, LineLook]]:
    """Yield looks at one line by two people, earlier first; each look once at most.

    The person whose key comes first is always the first of the pair, so that the table
    does not depend on who happened to look first.
    """
    ordered = sorted(looks, key=lambda look: (look.line, look.at, look.id))
    for _, of_line in groupby(ordered, key=lambda look: look.line):
        waiting: list[LineLook] = []
        for look in of_line:
            waiting = [other for other in waiting if look.at - other.at <= within]
            other = next((o for o in waiting if o.observer != look.observer), None)
            if other is None:
                waiting.append(look)
                continue
            waiting.remove(other)
            first, second = sorted((other, look), key=lambda one: one.observer)
            yield first, second


def _table(item: str, paired: Sequence[tuple[LineLook, LineLook]]) -> list[list[int]]:
    table = [[0, 0], [0, 0]]
    for first, second in paired:
        one, two = first.answers.get(item), second.answers.get(item)
        if one in JUDGED and two in JUDGED:
            table[JUDGED.index(one)][JUDGED.index(two)] += 1
    return table


def _agreement(item: str, table: list[list[int]]) -> ItemAgreement:
    pairs = sum(map(sum, table))
    return ItemAgreement(item, pairs, cohen_kappa(table) if pairs else None)
