"""What the entry needs at the end of a guided procedure, and the card that judges a length.

It is the watch's own: the same lengths, rules and bounds as on the line's page.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries import answers, every_kind
from lumenkeep.core.model import known_or_none, words
from lumenkeep.core.model.chart import standing
from lumenkeep.core.model.words import YES_NO
from lumenkeep.core.reading.line_reading import RulesOfSet, read_line
from lumenkeep.core.watch.length_rules import moved_asks
from lumenkeep.core.watch.length_typed import typed_length_card
from lumenkeep.ward.chart.charting.form_fields import field_of_item
from lumenkeep.ward.chart.line_at_hand import agents_used, likely_reason
from lumenkeep.ward.guide.bundle.fields import Field, field, item_field

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime

    from lumenkeep.core.entries import Field as EntryField
    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.planning import Plan
    from lumenkeep.core.planning.plan import ChartItem
    from lumenkeep.ward.chart.line_at_hand import LineAtHand


def length_card(
    found: LineAtHand,
    entries: Sequence[Entry],
    at: datetime,
    bounds: tuple[float, float],
    arms: Sequence[str],
) -> dict[str, Any] | None:
    """Return what each length that may be typed would mean.

    Parameters
    ----------
    entries
        Of the line and its child; none for a line that is invented.
    at
        When it is measured (UTC).
    bounds
        What is possible (mm).
    arms
        Words for how the arm may lie.
    """
    if not any(entry.kind == "line-inserted" for entry in entries):
        return None
    zone = found.ward.zone
    reading = read_line(entries, at, RulesOfSet(found.policy, zone), zone)
    return typed_length_card(
        reading.compared,
        reading.length_rules,
        bounds,
        arms=arms,
        moved_do=moved_asks(found.policy.on(at.astimezone(zone).date())),
    )


ENTRY_OF_PROCEDURE = {
    "dressing-change": ("dressing-change",),
    "connector-change": ("connector-change",),
    "set-change": ("set-change",),
    "port-needle-change": ("needle-change", "dressing-change"),
    "re-cover": ("re-cover",),
    "line-removal": ("line-removed",),
}
"""Kinds of entry that a procedure ends with when it is done."""
REDRESSES = tuple(
    name for name, kinds in ENTRY_OF_PROCEDURE.items() if "dressing-change" in kinds
)
"""Procedures that end with a new dressing."""
OWN_NAMES = {"whole": "tip-whole"}
"""Names of the guide's fields where they are not the form's."""
LEFT_OUT = ("doing",)
"""What the procedure itself says: a guided change of a set is a change."""


def guided_fields(kind_id: str) -> tuple[EntryField, ...]:
    """Return what a guide asks of a kind: the registry's fields as two people answer.

    What a form offers as a list of which a file may hold other words is called out in
    one's own words, and whoever stands there has looked.
    """
    found = []
    for one in every_kind()[kind_id].fields:
        if not one.is_asked or one.key in LEFT_OUT:
            continue
        answer = one.answer
        if isinstance(answer, answers.Word) and answer.is_free:
            answer = answers.Text()
        if isinstance(answer, answers.YesNo):
            answer = answers.YesNo()
        name = OWN_NAMES.get(one.key, one.form_name)
        found.append(replace(one, answer=answer, name=name))
    return tuple(found)


def entry_fields(
    procedure: str, found: LineAtHand, plan: Plan, entries: Sequence[Entry]
) -> list[Field]:
    """Return the fields of a procedure's entry, in the order of the work.

    Parameters
    ----------
    entries
        Of the line and its child: what was charted last is shown beside a field.
    """
    if procedure in REDRESSES:
        return _of_a_dressing(found, plan, entries)
    kind = ENTRY_OF_PROCEDURE[procedure][-1]
    return [_guide_field(one) for one in guided_fields(kind)]


def _guide_field(
    one: EntryField, *, required: bool | None = None, value: str | None = None
) -> Field:
    """Return a field of the registry as it is carried to the bedside."""
    answer = one.answer
    choices: Mapping[str, str] = {}
    shape = "text"
    match answer:
        case answers.Words():
            shape, choices = "several", answer.words
        case answers.Word():
            shape, choices = "choice", answer.words
        case answers.YesNo():
            shape, choices = "choice", YES_NO
        case answers.Count():
            shape = "count"
        case _:
            shape = "text"
    return field(
        one.form_name,
        one.label,
        shape,
        required=one.required if required is None else required,
        choices=choices,
        value=value,
    )


def _of_a_dressing(
    found: LineAtHand, plan: Plan, entries: Sequence[Entry]
) -> list[Field]:
    items = [
        item_field(item, _last(item, found, entries))
        | _card(item, found, plan, entries)
        for item in plan.chart
        if item.kind != "instant"
    ]
    kind = every_kind()["dressing-change"]
    known = {one.key: one for one in kind.fields}
    return [
        _guide_field(known["because"], required=True, value=likely_reason(found)),
        _guide_field(known["findings"]),
        *items,
        _guide_field(known["skin"]),
    ]


def _card(
    item: ChartItem, found: LineAtHand, plan: Plan, entries: Sequence[Entry]
) -> Field:
    """Return what each length that may be typed would mean; nothing for other fields."""
    if item.kind != "length" or item.low is None or item.high is None:
        return {}
    arms = next(
        (one.choices for one in plan.chart if field_of_item(one).key == "arm"), ()
    )
    bounds = (item.low, item.high)
    return {"card": length_card(found, entries, plan.at, bounds, arms)}


def put_on_fields(found: LineAtHand, chosen: Mapping[str, str]) -> list[Field]:
    """Return what was used on the skin and put on, filled in as the steps guide to it.

    Two people confirm what was really done: it stands in the entry that they read, and
    whatever was used can be said. That they do not know it cannot be.

    Parameters
    ----------
    chosen
        Agent and dressing of the steps; none where a procedure leaves the skin alone.
    """
    kind = {one.key: one for one in every_kind()["dressing-change"].fields}
    offered = {"agent": agents_used(found.policy), "dressing": words.DRESSINGS}
    return [
        field(
            key,
            kind[key].label,
            "choice",
            required=True,
            choices=choices,
            value=chosen.get(key) or None,
        )
        | {"always_known": True}
        for key, choices in offered.items()
    ]


def last_length(found: LineAtHand) -> str | None:
    """Return the length charted last with its day, in words; None where none was."""
    lengths = found.record.state.lengths
    if not lengths:
        return None
    at, mm = lengths[-1]
    day = at.astimezone(found.ward.zone)
    return f"{mm:g} mm on {day.day} {day:%B}"


def _last(item: ChartItem, found: LineAtHand, entries: Sequence[Entry]) -> str | None:
    """Return what was charted last, in words."""
    state = found.record.state
    if item.kind == "length":
        return last_length(found)
    stitches = known_or_none(state.case.line.stitches)
    if item.id.endswith("stitches") and stitches is not None:
        return f"{stitches:g}"
    if item.kind == "choice":
        key = field_of_item(item).key
        said = [e.body[key] for e in standing(entries) if e.body.get(key)]
        return str(said[-1]) if said else None
    return None
