"""One of two sets over the children of a grid: its conditions, and what it answers."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any, TypeVar

from lumenkeep.core.planning import decide_change
from lumenkeep.core.policy import Policy, RuleBook, Situation
from lumenkeep.core.policy.solver import Diagrams, Grid, HeldConditions, Node

if TYPE_CHECKING:
    from lumenkeep.core.model import Case
    from lumenkeep.core.planning import Plan
    from lumenkeep.core.planning.decision import Decision
    from lumenkeep.core.planning.plan import Technique


@dataclass(frozen=True, slots=True)
class Outcome:
    """What of a plan is compared; times in seconds, stay in hours, area in mm."""

    verdict: str
    agent: str | None
    scrub_s: int | None
    dry_s: int | None
    residue: str | None
    dressing: str | None
    stays_h: float | None
    swabs: int | None = None
    motion: str | None = None
    area_mm: tuple[float, float] | None = None


def outcome_of(plan: Plan) -> Outcome:
    """Return what of a plan is compared."""
    cover = plan.dressing
    kind, stays_h = (cover.kind, cover.stays_h) if cover else (None, None)
    return _outcome(plan.verdict, plan.antiseptic, kind, stays_h)


def outcome_decided(decided: Decision) -> Outcome:
    """Return the same of what was decided alone; equal to that of the whole plan."""
    cover = decided.cover
    kind, stays = (cover.kind, cover.stays) if cover else (None, None)
    stays_h = stays.nominal_hours() if stays else None
    return _outcome(decided.verdict.word, decided.way, kind, stays_h)


def _outcome(
    verdict: str, way: Technique | None, dressing: str | None, stays_h: float | None
) -> Outcome:
    """Return what is compared; of what is only kept to until more is known, nothing."""
    if verdict != "plan" or way is None:
        is_plan = verdict == "plan"
        return Outcome(
            verdict,
            None,
            None,
            None,
            None,
            dressing if is_plan else None,
            stays_h if is_plan else None,
        )
    return Outcome(
        verdict=verdict,
        agent=way.agent,
        scrub_s=way.scrub_s,
        dry_s=way.dry_s,
        residue=way.residue_removed_with,
        dressing=dressing,
        stays_h=stays_h,
        swabs=way.swabs,
        motion=way.motion,
        area_mm=way.area_mm,
    )


ReadCase = Callable[[Mapping[str, Any]], "Case"]
T = TypeVar("T")
NOBODY = None
"""The answer at a point at which there is no child."""


@dataclass(frozen=True, slots=True)
class Answers:
    """What a set answers at every point, one diagram an aspect.

    ``dressing`` is kind and stay in hours, where there is a plan.
    """

    antiseptic: Node
    technique: Node
    dressing: Node


class Side:
    """One set on the days of an epoch, over the children of a grid.

    Parameters
    ----------
    policy, book
        The set, and its rules with the numbers of the epoch.
    grid, over
        The children, and diagrams over its axes.
    read_case
        Reads a case from its mapping.
    """

    def __init__(
        self,
        policy: Policy,
        book: RuleBook,
        grid: Grid,
        over: Diagrams,
        read_case: ReadCase,
    ) -> None:
        self.policy, self.book = policy, book
        self._grid, self.over = grid, over
        self._read_case = read_case
        self._here = grid.is_child(over)
        self.held = HeldConditions(grid, over, book, self._seen)

    def _seen(self, case: Mapping[str, Any], at: str) -> Situation:
        return Situation(self._read_case(case), datetime.fromisoformat(at))

    def told(
        self, parts: Sequence[Node], say: Callable[[Sequence[int]], Hashable]
    ) -> Node:
        """Return what is said of the children alike in all parts, asked of one each.

        Parameters
        ----------
        parts
            What the answer hangs on, and nothing else.
        say
            The answer to the child of a point.
        """
        joined = self.over.together(parts)
        joined = self.over.apply("child", _if_child, joined, self._here)
        answers = {
            parts: None if parts is NOBODY else (say(point),)
            for parts, point in self.over.examples(joined).items()
        }
        return self.over.told(joined, answers.__getitem__)

    def answers(self) -> Answers:
        """Return what the set answers of antiseptic, its use and the dressing."""
        held, book = self.held, self.book
        antiseptic = self.told(
            [
                *(held.barred(agent) for agent in self.policy.antiseptics),
                held.any_of(held.rule(live) for live in book.referrals),
            ],
            lambda point: _first(self._outcome(point)),
        )
        technique = self.told(
            [
                antiseptic,
                *(held.rule(live) for live in book.site_rules),
                *(held.rule(live) for live in book.films),
            ],
            lambda point: self.way(self._outcome(point)),
        )
        is_plan = self.over.told(antiseptic, lambda one: one and one[0][0] == "plan")
        kind = self.told(
            [is_plan, *(held.barred(item) for item in self.policy.dressings)],
            lambda point: self._outcome(point).dressing,
        )
        dressing = self.told(
            [
                is_plan,
                kind,
                *(
                    held.row(row)
                    for live in book.intervals_of("dressing")
                    for row in live.when.rows
                ),
            ],
            lambda point: _cover(self._outcome(point)),
        )
        return Answers(antiseptic, technique, dressing)

    def _outcome(self, point: Sequence[int]) -> Outcome:
        case, at = self._grid.case(point)
        decided = decide_change(
            self._read_case(case), datetime.fromisoformat(at), self.policy
        )
        return outcome_decided(decided)

    def way(self, outcome: Outcome) -> Hashable:
        """Return how an antiseptic is used, as pairs of a name and what it is."""
        if outcome.agent is None:
            return None
        strength = self.policy.agents[outcome.agent].strength
        return (
            ("agent", outcome.agent),
            ("strength", float(self.book.value(strength)) if strength else None),  # type: ignore[arg-type]  # percent
            ("swabs", outcome.swabs),
            ("scrub_s", outcome.scrub_s),
            ("dry_s", outcome.dry_s),
            ("motion", outcome.motion),
            ("area_mm", outcome.area_mm),
            ("residue", outcome.residue),
        )

    def situation(self, point: Sequence[int]) -> Situation:
        """Return the child of a point as rules see it."""
        return self._seen(*self._grid.case(point))


def _if_child(parts: Any, is_child: bool) -> Hashable:  # noqa: FBT001  a leaf's value
    return parts if is_child else NOBODY


def _first(outcome: Outcome) -> Hashable:
    return outcome.verdict, outcome.agent


def _cover(outcome: Outcome) -> Hashable:
    return (outcome.dressing, outcome.stays_h) if outcome.verdict == "plan" else None
