"""What to lay out, with counts: what the kit holds and what must be fetched.

Nothing can be fetched once the field is open, so whatever may be needed is on the
list: a supply whose rule is not decided is laid out as well.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.planning.plan import SupplyLine
from lumenkeep.core.policy.vocabulary import PLANNED_FACTS

if TYPE_CHECKING:
    from lumenkeep.core.planning.prepared import Prepared
    from lumenkeep.core.policy import LiveRule, Situation
    from lumenkeep.core.policy.rules import Supply

IN_CASE = " (in case: this is not decided by what is known)"
ASK_SIZE = " (size not known: ask)"


def supplies(
    prepared: Prepared, situation: Situation, sizes: dict[str, str | None]
) -> tuple[SupplyLine, ...]:
    """Return the supplies for the change being planned.

    Parameters
    ----------
    prepared
        The day's rules.
    situation
        Facts, with the planned agent and dressing.
    sizes
        Glove size of each role, None where unknown.
    """
    lines: list[SupplyLine] = []
    for live in prepared.book.supplies:
        truth = live.when.truth(situation)
        because = live.rule.because
        if truth is None and _may_matter(live, situation):
            because += IN_CASE
        elif truth is not True:
            continue
        taken = sum(
            one.count for one in lines if one.item == live.rule.item and one.in_kit
        )
        lines += _lines(prepared, live.rule, sizes, because, taken)
    return tuple(lines)


def _may_matter(live: LiveRule[Supply], situation: Situation) -> bool:
    return any(
        comparison.fact not in PLANNED_FACTS
        for comparison in live.when.undecided(situation)
    )


def _lines(
    prepared: Prepared,
    rule: Supply,
    sizes: dict[str, str | None],
    because: str,
    taken: int,
) -> list[SupplyLine]:
    """Return a supply's lines; ``taken`` of it in the kit are spoken for already."""
    book = prepared.book
    count = int(book.value(rule.count))  # type: ignore[arg-type]  # a count
    packed = book.kit.get(rule.item)
    in_kit = int(book.value(packed.count)) if packed else 0  # type: ignore[arg-type]  # a count
    size = None
    if rule.size_of is not None:
        size = sizes[rule.size_of]
        if size is None:
            because += ASK_SIZE
        if packed is None or size is None or size != packed.size:
            in_kit = 0
    in_kit = min(count, max(0, in_kit - taken))
    return [
        SupplyLine(rule.item, rule.label, n, kit, size, because, rule.source)
        for n, kit in ((in_kit, True), (count - in_kit, False))
        if n
    ]
