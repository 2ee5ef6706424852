"""Compare two policies: for which children they answer differently, and why."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from lumenkeep.planning import plan_change
from lumenkeep.planning.plan import Fired
from lumenkeep.policy import Policy
from lumenkeep.policy.prove import (
    Grid,
    Region,
    answers_on,
    differs,
    epochs_from,
    faults_of_cut,
    regions_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Mapping
    from datetime import date

    from lumenkeep.model import Case
    from lumenkeep.planning import Plan


@dataclass(frozen=True, slots=True)
class Outcome:
    """What of a plan is compared; times in seconds, stay in hours."""

    verdict: str
    agent: str | None
    scrub_s: int | None
    dry_s: int | None
    residue: str | None
    dressing: str | None
    stays_h: float | None


@dataclass(frozen=True, slots=True)
class Difference:
    """Children whom the two sets answer differently.

    Attributes
    ----------
    aspect
        What differs: "antiseptic", "technique" or "dressing".
    who
        Conditions in plain words, all of which hold; empty means every child.
    one, two
        What each set answers.
    why_one, why_two
        The rules of each that decided for the example child.
    case, at
        The example: a case file and the instant to ask about.
    """

    aspect: str
    who: tuple[str, ...]
    one: Outcome
    two: Outcome
    why_one: tuple[Fired, ...]
    why_two: tuple[Fired, ...]
    case: dict[str, Any]
    at: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """Every difference between two sets, and how sure the list is.

    Attributes
    ----------
    is_fewest
        Whether it is proved that fewer regions cannot do.
    faults
        What a second query to the solver found wrong with the list; empty: nothing.
    """

    one: Policy
    two: Policy
    differences: tuple[Difference, ...]
    is_fewest: bool
    faults: tuple[str, ...]


def outcome_of(plan: Plan) -> Outcome:
    """Return what of a plan is compared."""
    way, cover = plan.antiseptic, plan.dressing if plan.verdict == "plan" else None
    return Outcome(
        verdict=plan.verdict,
        agent=way.agent if way else None,
        scrub_s=way.scrub_s if way else None,
        dry_s=way.dry_s if way else None,
        residue=way.residue_removed_with if way else None,
        dressing=cover.kind if cover else None,
        stays_h=cover.stays_h if cover else None,
    )


def compare_policies(
    one: Policy,
    two: Policy,
    day: date,
    read_case: Callable[[Mapping[str, Any]], Case],
) -> Comparison:
    """Return where two sets differ, for children of whom everything is known.

    Parameters
    ----------
    one, two
        The sets, or two versions of one.
    day
        Day whose numbers count.
    read_case
        Reads a case from its mapping.

    Raises
    ------
    NoRuleError
        The sets cannot be cut into a grid: see `Grid`.
    """
    epoch = epochs_from(day, one, two)[0]
    books = (one.on(epoch.day), two.on(epoch.day))
    grid = Grid(books, epoch)

    def plans(case: Mapping[str, Any], at: str) -> tuple[Plan, Plan]:
        read, instant = read_case(case), datetime.fromisoformat(at)
        return plan_change(read, instant, one), plan_change(read, instant, two)

    def ask(case: dict[str, Any], at: str) -> tuple[Outcome, Outcome]:
        first, second = plans(case, at)
        return outcome_of(first), outcome_of(second)

    answers = answers_on(grid, ask)
    formulas = differs(*books, grid.child)
    found: list[Difference] = []
    faults: list[str] = []
    is_fewest = True
    for aspect, apart in ASPECTS.items():
        cut = regions_of(grid, answers, apart)
        regions = [region for _, region in cut.regions]
        faults += faults_of_cut(grid, regions, formulas[aspect])
        is_fewest &= cut.is_fewest
        found += [_difference(aspect, region, plans) for region in regions]
    return Comparison(one, two, tuple(found), is_fewest, tuple(faults))


Pair = tuple[Outcome, Outcome]


def _antiseptic(pair: Pair) -> Hashable | None:
    one, two = ((o.verdict, o.agent) for o in pair)
    return None if one == two else (one, two)


def _technique(pair: Pair) -> Hashable | None:
    one, two = pair
    if one.agent is None or one.agent != two.agent:
        return None
    ways = tuple((o.scrub_s, o.dry_s, o.residue) for o in pair)
    return None if ways[0] == ways[1] else (one.agent, *ways)


def _dressing(pair: Pair) -> Hashable | None:
    one, two = pair
    if one.verdict != "plan" or two.verdict != "plan":
        return None
    covers = tuple((o.dressing, o.stays_h) for o in pair)
    return None if covers[0] == covers[1] else covers


ASPECTS: dict[str, Callable[[Pair], Hashable | None]] = {
    "antiseptic": _antiseptic,
    "technique": _technique,
    "dressing": _dressing,
}
"""What two answers are told apart by, one aspect at a time."""


def _difference(
    aspect: str,
    region: Region,
    plans: Callable[[Mapping[str, Any], str], tuple[Plan, Plan]],
) -> Difference:
    first, second = plans(region.case, region.at)
    return Difference(
        aspect=aspect,
        who=region.words,
        one=outcome_of(first),
        two=outcome_of(second),
        why_one=_reasons(first, aspect),
        why_two=_reasons(second, aspect),
        case=region.case,
        at=region.at,
    )


def _reasons(plan: Plan, aspect: str) -> tuple[Fired, ...]:
    """Return the rules that decided the aspect for the example child."""
    if aspect == "dressing":
        named = {e.rule for e in plan.not_for_this_child}
        named |= {plan.dressing.rule} if plan.dressing else set()
    elif aspect == "technique":
        named = set(plan.antiseptic.rules) if plan.antiseptic else set()
    else:
        named = {e.rule for e in plan.excluded} | set(plan.referred_by)
        if plan.antiseptic:
            named.add(plan.antiseptic.agent)
    return tuple(rule for rule in plan.fired if rule.rule in named)
