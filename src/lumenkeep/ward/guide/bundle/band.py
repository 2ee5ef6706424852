"""What stands above every screen of a guide, and the facts read together before.

Two identifiers tell a child, its name and its birth date; the bed stands beside them
and is never one. The part that names a child is put in when a bundle is sent and is
kept nowhere.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.due import due_tasks
from lumenkeep.core.entries.kinds.of_dressing import PLANNED, REASONS
from lumenkeep.core.model import known_or_none, words
from lumenkeep.core.model.allergy import told_in_words
from lumenkeep.core.model.case import mass_at, skin_at_site
from lumenkeep.core.model.facts import Fact, Unknown
from lumenkeep.core.model.quantities import age_in_words, mass_in_words
from lumenkeep.ward.chart.line_at_hand import likely_reason
from lumenkeep.ward.guide.bundle.entry import last_length
from lumenkeep.ward.guide.bundle.steps import put_on

if TYPE_CHECKING:
    from collections.abc import Collection
    from datetime import datetime

    from lumenkeep.core.model.case import Child, Weight
    from lumenkeep.core.model.times import Birth
    from lumenkeep.core.planning import Plan
    from lumenkeep.core.recovery.chosen_branch import GuidedBranch
    from lumenkeep.ward.chart.line_at_hand import LineAtHand

NOT_ASKED = "Not charted: ask before you begin"
NONE_KNOWN = "None known"
NOT_KNOWN = "Not known"
NOT_YET = "Nothing on the chart makes it due yet"
DRESSING = "dressing"


def facts_read(
    found: LineAtHand, at: datetime, resets: Collection[str] = (DRESSING,)
) -> list[dict[str, Any]]:
    """Return label and words of each fact, as it is at an instant (UTC).

    What is not known is said so and marked, for it is what must be asked. ``resets``
    are the due tasks that the procedure counts for; where it counts for none, nothing
    is said of why it is done now.
    """
    case = found.record.state.case
    child = case.child
    rows = [
        *([("Why now", _why_now(found, at, resets))] if resets else []),
        ("Does not tolerate", _sensitivities(child)),
        ("Age", _age(child.born, at)),
        ("Gestation at birth", _told(child.gestation_at_birth)),
        ("Weight", _weight(mass_at(child, at), found)),
        ("Skin at the site", words.SKIN.get(known_or_none(skin_at_site(case)) or "")),
        ("Line", line_words(found)),
        ("Last length", last_length(found)),
    ]
    return [
        {"label": label, "says": says or NOT_KNOWN, "known": says is not None}
        for label, says in rows
    ]


def _why_now(found: LineAtHand, at: datetime, resets: Collection[str]) -> str:
    """Return what was found on the dressing, or the reason of the due task itself."""
    likely = likely_reason(found)
    if likely != PLANNED and DRESSING in resets:
        return REASONS[likely]
    tasks = due_tasks(found.record.state.case, at, found.policy)
    now = [task for task in tasks if task.task in resets and task.is_now]
    if not now:
        return NOT_YET
    # By a clock that ran out, the rules' reasons follow; nothing else made it due.
    by_clock = now[0].state == "overdue" or not now[0].why
    return REASONS[PLANNED] if by_clock else now[0].why[0]


def allergies(found: LineAtHand) -> dict[str, Any]:
    """Return what the child does not tolerate: in words, and as words (None: unknown)."""
    child = found.record.state.case.child
    known = child.sensitivities
    words_ = None if isinstance(known, Unknown) else sorted(known)
    return {"says": _sensitivities(child) or NOT_ASKED, "words": words_}


def line_words(found: LineAtHand) -> str:
    """Return what a line is in words, as in "PICC, left upper arm, 2 lumens"."""
    line = found.record.state.case.line
    kind = words.LINE_KINDS.get(known_or_none(line.kind) or "", "Line")
    site = words.SITES.get(known_or_none(line.site) or "", "").lower()
    side = found.record.side or ""
    where = " ".join(part for part in (side, site) if part)
    lumens = known_or_none(line.lumens)
    count = f"{lumens} lumen{'s' if lumens != 1 else ''}" if lumens else ""
    return ", ".join(part for part in (kind, where, count) if part)


def _sensitivities(child: Child) -> str | None:
    """Return what a child does not tolerate, and everything else that was said."""
    known = child.sensitivities
    certain = () if isinstance(known, Unknown) else sorted(known)
    named = [words.SENSITIVITIES[w] for w in certain if w in words.SENSITIVITIES]
    told = [
        told_in_words(said)
        for said in child.allergies.told
        if said.substance not in words.SENSITIVITIES
    ]
    strange = [word for word in certain if word not in words.SENSITIVITIES]
    said = ", ".join((*named, *(told or strange)))
    if isinstance(known, Unknown):
        return f"{said}: to be asked" if said else None
    return said or NONE_KNOWN


def _age(born: Fact[Birth], at: datetime) -> str | None:
    if isinstance(born, Unknown):
        return None
    least = age_in_words((at - born.latest).total_seconds())
    most = age_in_words((at - born.earliest).total_seconds())
    return least if born.is_exact or least == most else f"{least} to {most}"


def _told(fact: Fact[Any]) -> str | None:
    return None if isinstance(fact, Unknown) else str(fact)


def _weight(mass: Fact[Weight], found: LineAtHand) -> str | None:
    if isinstance(mass, Unknown):
        return None
    day = mass.at.astimezone(found.ward.zone)
    return f"{mass_in_words(mass.grams)} on {day.day} {day:%B}"


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
