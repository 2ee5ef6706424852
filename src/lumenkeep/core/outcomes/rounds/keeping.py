"""How often each item was kept, and the whole bundle, with how sure that is.

People of the unit and people from outside stand apart: those of the unit see less
amiss, so one figure over both would change with who walks and not with what is done.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.rounds.look import (
    DOES_NOT_APPLY,
    KEPT,
    NOT_KEPT,
    NOT_SEEN,
    OPEN,
    LineLook,
)
from lumenkeep.core.outcomes.statistics.interval import LEVEL, Limits
from lumenkeep.core.outcomes.statistics.proportions import (
    Difference,
    newcombe_difference,
    wilson,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


@dataclass(frozen=True, slots=True)
class ItemShare:
    """How often one item was kept, of the times it applied and was seen.

    ``limits`` are score limits; None where it was never seen, which is not 0 %.
    """

    item: str
    kept: int
    not_kept: int
    not_seen: int
    does_not_apply: int
    limits: Limits | None

    @property
    def seen(self) -> int:
        """Times it applied and was seen."""
        return self.kept + self.not_kept

    @property
    def share(self) -> float | None:
        """Kept of seen; None where it was never seen."""
        return self.kept / self.seen if self.seen else None


@dataclass(frozen=True, slots=True)
class BundleShare:
    """How often every item was kept, all or none.

    ``open`` counts looks where nothing seen was amiss but not everything was seen: the
    true share lies between ``kept`` and ``kept + open`` of all. ``limits`` are score
    limits over that span: the lower one of the least, the upper one of the most.
    """

    kept: int
    not_kept: int
    open: int
    limits: Limits | None

    @property
    def looks(self) -> int:
        """Looks to which the bundle applied."""
        return self.kept + self.not_kept + self.open

    @property
    def span(self) -> tuple[float, float] | None:
        """Least and greatest share; None without a look."""
        if not self.looks:
            return None
        return self.kept / self.looks, (self.kept + self.open) / self.looks


@dataclass(frozen=True, slots=True)
class Keeping:
    """What observers of one kind saw.

    Attributes
    ----------
    from_unit
        Whether they belong to the unit.
    looks, lines
        Looks, and different lines among them. The limits take each look for one of
        its own; many looks at few lines are surer in print than in truth.
    items
        In the order asked for.
    standing, whole
        The bundle of the items that can be seen at any time, and of all items.
    """

    from_unit: bool
    looks: int
    lines: int
    items: tuple[ItemShare, ...]
    standing: BundleShare
    whole: BundleShare


def keeping_by_observer(
    looks: Iterable[LineLook],
    items: Sequence[str],
    watched: Iterable[str] = (),
    level: float = LEVEL,
) -> tuple[Keeping, ...]:
    """Return what people of the unit saw, then what people from outside saw.

    Parameters
    ----------
    looks
        Of any wards and days.
    items
        Ids of the items asked about.
    watched
        Those that can only be seen while somebody works.
    level
        Coverage of the limits.

    Returns
    -------
    tuple of Keeping
        One for each kind of observer that looked at all; never both in one.
    """
    apart: dict[bool, list[LineLook]] = {}
    for look in looks:
        apart.setdefault(look.from_unit, []).append(look)
    standing = tuple(item for item in items if item not in set(watched))
    return tuple(
        Keeping(
            from_unit,
            len(apart[from_unit]),
            len({look.line for look in apart[from_unit]}),
            tuple(_item(item, apart[from_unit], level) for item in items),
            bundle_share(apart[from_unit], standing, level),
            bundle_share(apart[from_unit], tuple(items), level),
        )
        for from_unit in (True, False)
        if from_unit in apart
    )


def _item(item: str, looks: Sequence[LineLook], level: float) -> ItemShare:
    # An item that was not asked about on a line does not apply to it.
    found = Counter(look.answers.get(item, DOES_NOT_APPLY) for look in looks)
    seen = found[KEPT] + found[NOT_KEPT]
    return ItemShare(
        item,
        found[KEPT],
        found[NOT_KEPT],
        found[NOT_SEEN],
        found[DOES_NOT_APPLY],
        wilson(found[KEPT], seen, level) if seen else None,
    )


def bundle_share(
    looks: Iterable[LineLook], items: tuple[str, ...], level: float = LEVEL
) -> BundleShare:
    """Return how often all of some items were kept; what was not asked does not apply."""
    found: Counter[str] = Counter()
    for look in looks:
        asked = tuple(item for item in items if item in look.answers)
        if (answer := look.bundle(asked)) is not None:
            found[answer] += 1
    lines = sum(found.values())
    limits = None
    if lines:
        least = wilson(found[KEPT], lines, level)
        most = wilson(found[KEPT] + found[OPEN], lines, level)
        limits = Limits(least.low, most.high)
    return BundleShare(found[KEPT], found[NOT_KEPT], found[OPEN], limits)


def not_kept_apart(keepings: Sequence[Keeping]) -> Difference | None:
    """Return the share not kept that outsiders saw, less that of the unit's own.

    Over all items together; None where either kind of observer is missing.
    """
    counts = {
        keeping.from_unit: (
            sum(item.not_kept for item in keeping.items),
            sum(item.seen for item in keeping.items),
        )
        for keeping in keepings
    }
    if set(counts) != {True, False} or not all(seen for _, seen in counts.values()):
        return None
    (own, own_seen), (outside, outside_seen) = counts[True], counts[False]
    return newcombe_difference(outside, outside_seen, own, own_seen)
