"""How long dressings hold on the wards, from the chart, by a plan written beforehand."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from functools import lru_cache
from importlib.resources import files
from typing import TYPE_CHECKING

import tomli

from lumenkeep.core.model.facts import known_or_none
from lumenkeep.core.watch.dressing_life import (
    GroupComparison,
    GroupLife,
    compare_life,
    life_of,
)
from lumenkeep.core.watch.life_plan import LifePlan, life_plan
from lumenkeep.core.watch.life_splits import ALL, KIND, SPLITS, split_spells
from lumenkeep.core.watch.spells import KINDS_READ, DressingSpell, spells_of_child
from lumenkeep.errors import Fault, InputError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import tzinfo

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.store.children import ChildRepository
    from lumenkeep.ward.site.people import WardRecord

LONGEST_HORIZON = 60


@dataclass(frozen=True, slots=True)
class LifeQuery:
    """What is asked: which dressings, grouped by what, until which day.

    Attributes
    ----------
    wards
        Keys of the wards on which the dressings were put on.
    split
        `ALL` or one of `SPLITS`.
    kind
        One kind of dressing alone; None takes all.
    since, before
        Days between which they were put on, on the wards' clocks; ``before`` itself is
        left out. None is open.
    horizon
        Until which day is asked; None takes the plan's.
    """

    wards: tuple[str, ...]
    split: str = ALL
    kind: str | None = None
    since: date | None = None
    before: date | None = None
    horizon: float | None = None


@dataclass(frozen=True, slots=True)
class DressingLife:
    """What was found.

    Attributes
    ----------
    whole
        All dressings asked about; None where there is none.
    groups
        By the split, the largest first, the unknown last; one alone without a split.
    comparison
        None where no two groups can be compared.
    no_ward
        Dressings put on while nobody had charted a ward: on no ward's account. Of the
        days asked about, as the first ward's clock tells them.
    without_start
        Entries of those days that ended a dressing of which nobody charted the beginning.
    """

    asked: LifeQuery
    plan: LifePlan
    at: datetime
    whole: GroupLife | None
    groups: tuple[GroupLife, ...]
    comparison: GroupComparison | None
    no_ward: int
    without_start: tuple[int, ...]


@lru_cache(maxsize=1)
def shipped_life_plan() -> LifePlan:
    """Return the plan that is shipped."""
    path = files("lumenkeep.core.watch") / "plans" / "dressing-life.toml"
    return life_plan(tomli.loads(path.read_text("utf-8")))


def dressing_life(
    chart: ChildRepository,
    wards: Sequence[WardRecord],
    asked: LifeQuery,
    at: datetime,
    plan: LifePlan | None = None,
) -> DressingLife:
    """Return how long dressings hold.

    Parameters
    ----------
    wards
        All wards of the hospital, for their clocks.
    at
        When watching ends (UTC): a dressing still on then is not over.
    plan
        The method; the shipped one by default.

    Raises
    ------
    InputError
        ``life-bad-split``, ``life-bad-horizon``: every fault of what is asked.
    """
    _check(asked)
    by_child = chart.entries_by_child(KINDS_READ, having=("line-inserted",))
    return life_of_entries(by_child, wards, asked, at, plan)


def life_of_entries(
    by_child: Mapping[str, Sequence[Entry]],
    wards: Sequence[WardRecord],
    asked: LifeQuery,
    at: datetime,
    plan: LifePlan | None = None,
) -> DressingLife:
    """Return how long dressings hold, from entries that are read already, by child.

    Parameters and errors are those of `dressing_life`.
    """
    _check(asked)
    method = plan or shipped_life_plan()
    zones = {ward.key: ward.zone for ward in wards}
    spells, without_start = _spells(by_child, at, zones, method)
    usual = next(iter(zones.values()), None)
    here = [spell for spell in spells if _is_asked(spell, asked, zones)]
    groups = tuple(
        _life(key, members, asked, method)
        for key, members in split_spells(here, asked.split, method, zones).items()
    )
    return DressingLife(
        asked,
        method,
        at,
        _life(None, here, asked, method) if here else None,
        groups,
        compare_life(groups, method),
        sum(
            known_or_none(spell.ward) is None
            and _is_of_days(spell.put_on_at, asked, usual)
            for spell in spells
        ),
        tuple(e.id for e in without_start if _is_of_days(e.happened_at, asked, usual)),
    )


@dataclass(frozen=True, slots=True)
class GroupedLife:
    """Dressings given by group: all together, each group, and how they compare."""

    whole: GroupLife
    groups: tuple[GroupLife, ...]
    comparison: GroupComparison | None
    plan: LifePlan


def grouped_life(
    groups: Mapping[str | None, Sequence[DressingSpell]], horizon: float | None = None
) -> GroupedLife:
    """Return the life of dressings that stand in groups already, at least one.

    Parameters
    ----------
    groups
        By what they have in common; None holds those of which it is not known.
    horizon
        Until which day is asked; None takes the plan's usual one.

    Raises
    ------
    InputError
        ``life-bad-horizon``.
    """
    _check(LifeQuery((), horizon=horizon))
    plan = shipped_life_plan()
    day = horizon or plan.horizon()
    every = [spell for members in groups.values() for spell in members]
    found = tuple(life_of(key, members, day, plan) for key, members in groups.items())
    return GroupedLife(
        life_of(None, every, day, plan), found, compare_life(found, plan), plan
    )


def _check(asked: LifeQuery) -> None:
    faults = []
    if asked.split not in (ALL, *SPLITS):
        faults.append(
            Fault(
                "life-bad-split",
                f"Dressings cannot be grouped by '{asked.split}'.",
                "split",
                "choose one of: " + ", ".join((ALL, *SPLITS)),
            )
        )
    if asked.horizon is not None and not 0 < asked.horizon <= LONGEST_HORIZON:
        faults.append(
            Fault(
                "life-bad-horizon",
                "That day cannot be asked for.",
                "day",
                f"write a day above 0, up to {LONGEST_HORIZON}",
            )
        )
    if faults:
        raise InputError(faults)


def _spells(
    by_child: Mapping[str, Sequence[Entry]],
    at: datetime,
    zones: Mapping[str, tzinfo],
    plan: LifePlan,
) -> tuple[list[DressingSpell], list[Entry]]:
    spells: list[DressingSpell] = []
    without_start: list[Entry] = []
    for entries in by_child.values():
        for line in spells_of_child(entries, at, zones, plan.words):
            spells += line.spells
            if line.without_start:
                lost = set(line.without_start)
                without_start += [e for e in entries if e.id in lost]
    return spells, without_start


def _is_asked(
    spell: DressingSpell, asked: LifeQuery, zones: Mapping[str, tzinfo]
) -> bool:
    ward = known_or_none(spell.ward)
    if ward is None or ward not in asked.wards:
        return False
    if asked.kind is not None and known_or_none(spell.kind) != asked.kind:
        return False
    return _is_of_days(spell.put_on_at, asked, zones.get(ward))


def _is_of_days(at: datetime, asked: LifeQuery, zone: tzinfo | None) -> bool:
    on = at.astimezone(zone).date()
    return (asked.since is None or on >= asked.since) and (
        asked.before is None or on < asked.before
    )


def _life(
    key: str | None,
    spells: Sequence[DressingSpell],
    asked: LifeQuery,
    plan: LifePlan,
) -> GroupLife:
    kind = key if asked.split == KIND else asked.kind
    return life_of(key, spells, asked.horizon or plan.horizon(kind), plan)
