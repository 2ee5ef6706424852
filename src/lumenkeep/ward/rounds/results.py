"""What the line rounds of a ward and period came to."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.rounds.keeping import (
    Keeping,
    keeping_by_observer,
    not_kept_apart,
)
from lumenkeep.core.outcomes.rounds.look import LineLook
from lumenkeep.core.outcomes.rounds.pairs import PairedLooks, agreement_of_pairs
from lumenkeep.core.outcomes.statistics.proportions import Difference
from lumenkeep.core.policy.numbers import as_seconds
from lumenkeep.errors import NoRuleError

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from lumenkeep.core.policy import Policy
    from lumenkeep.ward.rounds.repository import RoundRepository
    from lumenkeep.ward.site.people import WardRecord


@dataclass(frozen=True, slots=True)
class MonthOfRounds:
    """One month; ``first`` is its first day."""

    first: date
    keepings: tuple[Keeping, ...]


@dataclass(frozen=True, slots=True)
class RoundResults:
    """What was seen, people of the unit and from outside apart.

    Attributes
    ----------
    labels
        What each item is called; an item the policy no longer has keeps its id.
    apart
        Share not kept that outsiders saw, less that of the unit's own.
    flatters, flatters_source
        Why the two stand apart.
    looks
        What it was worked out from.
    """

    first: date
    last: date
    labels: Mapping[str, str]
    keepings: tuple[Keeping, ...]
    apart: Difference | None
    months: tuple[MonthOfRounds, ...]
    agreement: PairedLooks | None
    flatters: str
    flatters_source: str
    looks: tuple[LineLook, ...]


def round_results(
    book: RoundRepository, policy: Policy, ward: WardRecord, first: date, last: date
) -> RoundResults:
    """Return the results of a ward from the first to the last day, both included.

    Parameters
    ----------
    policy
        In force on the ward; it names the items and how far apart two looks may be.
    """
    start = _midnight(first, ward)
    end = _midnight(last + timedelta(days=1), ward)
    looks = tuple(book.looks([ward.key], start, end))
    labels = _labels(policy, looks)
    items = tuple(labels)
    watched = [item.id for item in policy.round_items if item.watched]
    keepings = keeping_by_observer(looks, items, watched)
    months: dict[date, list[LineLook]] = {}
    for look in looks:
        on = ward.day_of(look.at).replace(day=1)
        months.setdefault(on, []).append(look)
    plan = policy.round_plans[0] if policy.round_plans else None
    return RoundResults(
        first,
        last,
        labels,
        keepings,
        not_kept_apart(keepings),
        tuple(
            MonthOfRounds(on, keeping_by_observer(months[on], items, watched))
            for on in sorted(months)
        ),
        _agreement(policy, looks, items, last),
        plan.flatters if plan else "",
        policy.sources[plan.flatters_source].title if plan else "",
        looks,
    )


def _agreement(
    policy: Policy, looks: Sequence[LineLook], items: Sequence[str], on: date
) -> PairedLooks | None:
    if not policy.round_plans:
        return None
    number = policy.round_plans[0].same_look
    try:
        within = as_seconds(policy.on(on).value(number))
    except NoRuleError:
        # How far apart two looks may be is no rule of care: the latest number will do.
        within = as_seconds(policy.on(max(on, *policy.starts)).value(number))
    return agreement_of_pairs(looks, items, timedelta(seconds=within))


def _labels(policy: Policy, looks: Iterable[LineLook]) -> dict[str, str]:
    labels = {item.id: item.label for item in policy.round_items}
    seen = Counter(item for look in looks for item in look.answers)
    return labels | {item: item for item in sorted(seen) if item not in labels}


def _midnight(on: date, ward: WardRecord) -> datetime:
    return datetime.combine(on, time(), ward.zone)
