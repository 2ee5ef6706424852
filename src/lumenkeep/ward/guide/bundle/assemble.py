"""Everything a guide needs at the bedside, in one value that goes into JSON.

The browser holds no rules: what to do next, what each slip asks for and what the entry
needs travel together. `docs/for-engineers/reference-guide.md` describes the format.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from lumenkeep.core.reading.line_reading import Hold, carried
from lumenkeep.core.recovery.chosen_branch import is_urgent
from lumenkeep.core.recovery.handful import Beside, beside, handful
from lumenkeep.core.recovery.lay_out import (
    extra_rows,
    is_planned_for,
    item_names,
    kit_row,
    planned_rows,
)
from lumenkeep.ward.guide.bundle.band import band_of, facts_read, line_part
from lumenkeep.ward.guide.bundle.entry import REDRESSES, entry_fields, put_on_fields
from lumenkeep.ward.guide.bundle.fields import turns_of, with_first_step
from lumenkeep.ward.guide.bundle.steps import chosen_part, plan_part, steps_of
from lumenkeep.ward.site.people import StaffRecord

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.planning import Plan
    from lumenkeep.core.recovery.chosen_branch import GuidedBranch
    from lumenkeep.ward.chart.line_at_hand import LineAtHand

FORMAT = 1
AFTER_FINDINGS = 2
"""Place of agent and dressing among the fields of an entry: in the order of the form."""
CAUTION = (
    "Decision support: the hospital's own policy and the licensed person at the "
    "bedside decide."
)


@dataclass(frozen=True, slots=True)
class Opened:
    """Who opened a guide on what: the parts of a bundle that are not worked out.

    Attributes
    ----------
    operator, assistant
        Who works; no assistant for an emergency.
    mark
        What was on the chart when it was opened.
    do_not_use
        Why the line is not to be used.
    """

    run: str
    operator: StaffRecord
    assistant: StaffRecord | None
    mark: str
    at: datetime
    why_href: str
    do_not_use: tuple[Hold, ...] = ()


def guide_head(
    opened: Opened,
    found: LineAtHand,
    plan: Plan,
    chosen: GuidedBranch,
    entries: Sequence[Entry],
) -> dict[str, Any]:
    """Return all of a bundle but the ways back and what they need."""
    procedure, branch = chosen.procedure, chosen.branch
    put_on = chosen_part(plan, chosen)
    fields = entry_fields(procedure.id, found, plan, entries)
    if procedure.id in REDRESSES:
        fields[AFTER_FINDINGS:AFTER_FINDINGS] = put_on_fields(found, put_on)
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
            "is_urgent": is_urgent(procedure),
        },
        "facts": facts_read(found, opened.at, procedure.resets),
        "band": band_of(found, plan, chosen),
        "do_not_use": carried(opened.do_not_use),
        "plan": plan_part(plan, found, chosen, opened.why_href),
        "turns": turns_of(found, plan, fields) if chosen.scrubs else [],
        "caution": CAUTION,
        "facts_mark": opened.mark,
        "also_open": None,
        "items": item_names(chosen, plan),
        "steps": steps_of(branch, by_name),
        "entry": {"fields": with_first_step(fields, branch.acts)},
        "planned": planned_rows(chosen, plan),
        "beside": _beside(chosen, plan),
        "chosen": put_on,
        "practice": None,
    }


def with_ways(head: Mapping[str, Any], ways: Mapping[str, Any]) -> dict[str, Any]:
    """Return the whole bundle: the head, with the ways back and the spares put in."""
    # A guide that was opened before the plan's list travelled along has none.
    planned = head.get("planned", ())
    spares, rows = _spares(head, ways)
    return {
        **{key: value for key, value in head.items() if key != "beside"},
        "spares": spares,
        "lay_out": [*planned, *rows],
        "acts": ways["acts"],
        "slips": ways["slips"],
        "ways": ways["ways"],
        "ways_in_ways": ways.get("ways_in_ways", {}),
        "more_ways": "ways_in_ways" not in ways,
        "stop": ways["stop"],
    }


def _beside(chosen: GuidedBranch, plan: Plan) -> dict[str, Any] | None:
    """Return what a handful of the spares depends on; None where all are laid out."""
    if not is_planned_for(chosen):
        return None
    return asdict(beside(chosen.stage, chosen.branch, plan))


def _spares(
    head: Mapping[str, Any], ways: Mapping[str, Any]
) -> tuple[dict[str, int], list[dict[str, Any]]]:
    """Return what a slip may use up (count), and what of it is to be laid out."""
    names, by = head["items"], head.get("beside")
    if by is None or "wants" not in ways:
        return ways["spares"], extra_rows(names, ways["spares"])
    there = Beside(by["there"], by["kit"], tuple(by["own"]))
    few = handful(ways["least"], ways["wants"], there)
    kit = kit_row(names, few.only_in_kit) if few.kit else []
    return few.counts(there.there), [*extra_rows(names, few.loose), *kit]


def _person(person: StaffRecord | None) -> dict[str, str] | None:
    return None if person is None else {"key": person.key, "name": person.name}


def _offset_minutes(at: datetime, found: LineAtHand) -> int:
    offset = at.astimezone(found.ward.zone).utcoffset()
    return 0 if offset is None else round(offset.total_seconds() / 60)
