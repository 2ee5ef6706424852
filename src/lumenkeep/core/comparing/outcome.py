"""What of a plan is compared over all children."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
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
