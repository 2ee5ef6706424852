"""Everything a guide needs at the bedside, in one value that goes into JSON.

The browser holds no rules: what to do next, what each slip asks for and what the entry
needs travel together. `docs/reference-guide.md` describes the format.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from lumenkeep.model import known_or_none, words
from lumenkeep.services.guide_entry import entry_fields
from lumenkeep.services.guide_fields import with_first_step
from lumenkeep.services.guide_lay_out import item_names, lay_out
from lumenkeep.services.guide_steps import steps_of
from lumenkeep.services.ports import StaffRecord

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.model.entry import Entry
    from lumenkeep.planning import Plan
    from lumenkeep.services.guide_branch import GuidedBranch
    from lumenkeep.services.line_at_hand import LineAtHand

FORMAT = 1
FILM = "transparent"
CAUTION = (
    "Decision support: the hospital's own policy and the licensed person at the "
    "bedside decide."
)
ASSUMED = {
    "soil": "Whether the site is soiled was not said: the steps wash it.",
    "securement": "Whether the securement is changed was not said: the steps change it.",
    "findings": "How the dressing failed was not said: it counts as open or wet.",
    "technique": "The technique was not said: masks, field and sterile gloves.",
    "site": "The insertion site is not charted: the steps are those of the groin.",
    "unit": "The kind of unit is not charted: the steps are those of a newborn.",
}
"""What is said where the safe side was taken for want of an answer."""


@dataclass(frozen=True, slots=True)
class Opened:
    """Who opened a guide on what: the parts of a bundle that are not worked out.

    Attributes
    ----------
    operator, assistant
        Who works; no assistant for an emergency.
    mark
        What was on the chart when it was opened.
    """

    run: str
    operator: StaffRecord
    assistant: StaffRecord | None
    mark: str
    at: datetime
    why_href: str


def guide_head(
    opened: Opened,
    found: LineAtHand,
    plan: Plan,
    chosen: GuidedBranch,
    entries: Sequence[Entry],
) -> dict[str, Any]:
    """Return all of a bundle but the ways back and what they need."""
    procedure, branch = chosen.procedure, chosen.branch
    fields = entry_fields(procedure.id, found, plan, entries)
    by_name = {one["field"]: one for one in fields}
    return {
        "format": FORMAT,
        "run": opened.run,
        "made_at": opened.at.astimezone(UTC).isoformat(),
        "zone": str(found.ward.zone),
        "utc_offset_minutes": _offset_minutes(opened.at, found),
        "line": line_part(found),
        "people": {
            "operator": _person(opened.operator),
            "assistant": _person(opened.assistant),
        },
        "procedure": {
            "id": procedure.id,
            "title": procedure.title,
            "resets": list(procedure.resets),
        },
        "plan": _plan(plan, found, chosen, opened.why_href),
        "caution": CAUTION,
        "facts_mark": opened.mark,
        "also_open": None,
        "items": item_names(chosen, plan),
        "steps": steps_of(branch, by_name),
        "entry": {"fields": with_first_step(fields, branch.acts)},
        "chosen": _chosen(plan, chosen),
        "practice": None,
    }


def with_ways(head: Mapping[str, Any], ways: Mapping[str, Any]) -> dict[str, Any]:
    """Return the whole bundle: the head, with the ways back and the spares put in."""
    return {
        **head,
        "spares": ways["spares"],
        "lay_out": lay_out(head["steps"], head["items"], ways["spares"]),
        "acts": ways["acts"],
        "slips": ways["slips"],
        "ways": ways["ways"],
        "ways_in_ways": ways.get("ways_in_ways", {}),
        "more_ways": "ways_in_ways" not in ways,
        "stop": ways["stop"],
    }


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


def line_part(found: LineAtHand) -> dict[str, Any]:
    """Return whose line it is; the one part that names a child, never kept."""
    record = found.record
    return {
        "key": record.key,
        "name": line_words(found),
        "child": record.child_name,
        "bed": record.bed,
        "ward": found.ward.name,
        "ward_key": found.ward.key,
    }


def _person(person: StaffRecord | None) -> dict[str, str] | None:
    return None if person is None else {"key": person.key, "name": person.name}


def _plan(
    plan: Plan, found: LineAtHand, chosen: GuidedBranch, why_href: str
) -> dict[str, Any]:
    cautions = [ASSUMED.get(fact, "") for fact, _ in chosen.assumed]
    cautions += [remark.text for remark in plan.cautions]
    return {
        "sentence": plan.sentence,
        "antiseptic": plan.antiseptic.label if plan.antiseptic else None,
        "dressing": plan.dressing.label if plan.dressing else None,
        "cautions": [text for text in cautions if text],
        "policy": {
            "set": found.policy.id,
            "version": found.policy.version,
            "digest": found.policy.digest,
        },
        "why_href": why_href,
    }


def _chosen(plan: Plan, chosen: GuidedBranch) -> dict[str, str]:
    """Return agent and dressing as they are charted.

    A procedure that does not follow the plan's dressing ends with a clear film.
    """
    agent = plan.antiseptic.agent if plan.antiseptic else ""
    follows = "dressing" in chosen.branch.setting.facts and plan.dressing is not None
    dressing = plan.dressing.kind if follows and plan.dressing else FILM
    return {"agent": agent, "dressing": dressing}


def _offset_minutes(at: datetime, found: LineAtHand) -> int:
    offset = at.astimezone(found.ward.zone).utcoffset()
    return 0 if offset is None else round(offset.total_seconds() / 60)
