"""What stands at the top of every screen of a guide: whose line, and what counts now.

Two identifiers tell a child, its name and its birth date; the bed stands beside them
and is never one. The part that names a child is put in when a bundle is sent and is
kept nowhere.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.model.facts import Unknown
from lumenkeep.ward.guide.bundle.entry import last_length
from lumenkeep.ward.guide.bundle.facts import allergies, line_words
from lumenkeep.ward.guide.bundle.plan import put_on

if TYPE_CHECKING:
    from lumenkeep.core.planning import Plan
    from lumenkeep.core.recovery.chosen_branch import GuidedBranch
    from lumenkeep.ward.chart.line_at_hand import LineAtHand

NO_SECOND = "Second identifier not charted: read it from the wristband"


def line_part(found: LineAtHand, *, shares_bed: bool = False) -> dict[str, Any]:
    """Return whose line it is; the one part that names a child, never kept.

    Parameters
    ----------
    shares_bed
        Whether another child's line lies under the same bed number.
    """
    record = found.record
    return {
        "key": record.key,
        "name": line_words(found),
        "child": record.child_name,
        "identifiers": [
            {"label": "Name", "says": record.child_name},
            _second_identifier(found),
        ],
        "bed": record.bed,
        "shares_bed": shares_bed,
        "ward": found.ward.name,
        "ward_key": found.ward.key,
    }


def band_of(found: LineAtHand, plan: Plan, chosen: GuidedBranch) -> dict[str, Any]:
    """Return what counts now, beside whose line it is.

    Agent and dressing are there only where the procedure follows the plan: a hub is
    scrubbed with something else than the skin.
    """
    return {
        "agent": plan.antiseptic.label if plan.antiseptic and chosen.scrubs else None,
        "dressing": put_on(plan, chosen)["label"] if chosen.scrubs else None,
        "allergies": allergies(found),
        "last_length": last_length(found),
    }


def _second_identifier(found: LineAtHand) -> dict[str, str | None]:
    born = found.record.state.case.child.born
    if isinstance(born, Unknown):
        return {"label": None, "says": NO_SECOND}
    day = born.earliest.astimezone(found.ward.zone)
    return {"label": "Born", "says": f"{day.day} {day:%B} {day.year}"}
