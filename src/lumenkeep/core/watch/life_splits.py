"""What dressings can be grouped by; what is not known makes a group of its own."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING

from lumenkeep.core.model.facts import is_known, known_or_none
from lumenkeep.core.model.quantities import SECONDS_PER_DAY

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import tzinfo

    from lumenkeep.core.watch.life_plan import LifePlan
    from lumenkeep.core.watch.spells import DressingSpell

ALL, KIND, SITE, LINE, WARD, AGE, SEASON, FIRST = (
    "all", "kind", "site", "line", "ward", "age", "season", "first",
)  # fmt: skip
SPLITS = (KIND, SITE, LINE, WARD, AGE, SEASON, FIRST)
EVERY, AT_INSERTION, LATER = "every", "at-insertion", "later"


def split_spells(
    spells: Sequence[DressingSpell],
    split: str,
    plan: LifePlan,
    zones: Mapping[str, tzinfo],
) -> dict[str | None, list[DressingSpell]]:
    """Return the spells by what they have in common, the largest group first.

    Parameters
    ----------
    split
        `ALL` or one of `SPLITS`.
    zones
        Zone by ward key, for the month in which a dressing was put on.

    Returns
    -------
    dict
        By key; None holds those of which it is not known, and comes last.
    """
    found: dict[str | None, list[DressingSpell]] = {}
    for spell in spells:
        found.setdefault(_key(spell, split, plan, zones), []).append(spell)
    return dict(
        sorted(
            found.items(),
            key=lambda pair: (pair[0] is None, -len(pair[1]), pair[0] or ""),
        )
    )


def _key(
    spell: DressingSpell, split: str, plan: LifePlan, zones: Mapping[str, tzinfo]
) -> str | None:
    if split == AGE:
        return _age_band(spell, plan)
    if split == SEASON:
        zone = zones.get(known_or_none(spell.ward) or "", UTC)
        return plan.seasons.get(spell.put_on_at.astimezone(zone).month)
    facts = {
        KIND: spell.kind,
        SITE: spell.site,
        LINE: spell.line_kind,
        WARD: spell.ward,
    }
    if split in facts:
        return known_or_none(facts[split])
    if split == FIRST:
        return AT_INSERTION if spell.is_first else LATER
    return EVERY


def _age_band(spell: DressingSpell, plan: LifePlan) -> str | None:
    """Return the band of the child's age; None where the birth leaves two open."""
    born = spell.born
    if not is_known(born) or born.earliest > spell.put_on_at:
        return None
    ages = [
        max((spell.put_on_at - at).total_seconds() / SECONDS_PER_DAY, 0.0)
        for at in (born.earliest, born.latest)
    ]
    bands = {plan.age_band(days) for days in ages}
    return bands.pop() if len(bands) == 1 else None
