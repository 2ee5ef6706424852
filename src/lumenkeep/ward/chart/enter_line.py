"""Bring a line on to the chart: a new child's first one, or another of a child here."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries import every_kind
from lumenkeep.core.model import birth_from_text, known_or_none
from lumenkeep.ward.chart.charting.asked_back import Known, hold_measured
from lumenkeep.ward.chart.charting.form_fields import (
    WHEN,
    FormField,
    choices_of,
    plain_question,
)
from lumenkeep.ward.chart.charting.typed_entry import SentForm, read_sheet
from lumenkeep.ward.chart.read_birth import BORN, GESTATION, is_before_birth
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.site.typed_values import Typed

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.rules import ChartField
    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.chart.store.register import Register
    from lumenkeep.ward.chart.store.repository import ChartRepository
    from lumenkeep.ward.site.people import WardRecord
    from lumenkeep.ward.site.sent import Sent

CHILD, NAME, BED, CAME_AT = "child", "name", "bed", "came-at"
WEIGHT, INSERTED_AT = "weight-g", "inserted-at"
NEW = "new"
LONGEST_NAME, LONGEST_BED = 120, 12
ASKED_OF_A_NEW_CHILD = ("birth", "weight")
"""Kinds that may be charted of a new child on the same form."""


@dataclass(frozen=True, slots=True)
class NewChild:
    """A child as typed: what the screens call it, and its first entries by kind."""

    name: str
    facts: tuple[tuple[str, datetime, dict[str, Any]], ...]


def questions_of(kind_id: str, policy: Policy) -> tuple[FormField, ...]:
    """Return what a kind's form asks where there is no line yet.

    Of a new child nothing must be known; of the line, what its kind requires.
    """
    kind = every_kind()[kind_id]
    rows = {row.id: row for row in policy.chart_fields}
    found = [
        _asked_by(rows.get(field.from_policy), plain_question(field, policy, {}))
        for field in kind.fields
        if field.is_asked and (not field.from_policy or field.from_policy in rows)
    ]
    if kind_id in ASKED_OF_A_NEW_CHILD:
        return tuple(replace(one, required=False) for one in found)
    form = kind.form
    if form is None or not form.happened_name:
        return tuple(found)
    name, label = form.happened_name, form.happened
    when = FormField(None, name, label, "instant", required=True, part=WHEN)
    return (*found, when)


def _asked_by(row: ChartField | None, asked: FormField) -> FormField:
    """Return a question in the words of the policy's row, where it has one."""
    if row is None or not row.choices:
        return asked
    return replace(asked, label=row.label, choices=choices_of(row.choices))


def enter_line(
    at: WardContext, register: Register, sent: Sent, *, ward: WardRecord
) -> Sequence[Entry]:
    """Write a line on the ward, with its child where the child is new.

    Typed are ``child``: key of a child on the ward, or `NEW` with ``name``, ``bed``,
    ``came-at`` and the fields of a birth and a weight, which may be left out; and the
    fields of ``line-inserted``.

    Raises
    ------
    ChartError
        Every fault at once.
    StoreError
        Nothing was written.
    """
    now = at.clock.now()
    policy = at.policies.in_force(ward.policy_set, ward.key)
    form = Typed(sent.typed)
    sheet = SentForm(form, {}, ward.zone, now)
    here = {line.child for line in at.chart.lines_in(ward.key)}
    chosen = form.word(CHILD, "Whose line it is", (NEW, *sorted(here)), needed=True)
    child = _new_child(sheet, ward, policy) if chosen == NEW else None
    if chosen != NEW:
        _nothing_of_a_new_child(form)
    kind = every_kind()["line-inserted"]
    asked = questions_of(kind.id, policy)
    line = read_sheet(kind, asked, sheet)
    inserted = line.at or now
    hold_measured(asked, line.body, form, Known(policy, inserted, ward.zone))
    _after_birth(form, child, line.at, ward)
    form.raise_faults()

    def drafts(child_key: str, line_key: str) -> list[Draft]:
        facts = child.facts if child is not None else ()
        return [
            *(
                Draft(child_key, None, fact, seen, sent.by.key, told)
                for fact, seen, told in facts
            ),
            Draft(child_key, line_key, kind.id, inserted, sent.by.key, line.body),
        ]

    return register.enter(
        None if chosen == NEW else chosen,
        child.name if child is not None else "",
        drafts,
        ward.policy_set,
        ward=ward.key,
        submission=sent.submission,
    )


def _new_child(sheet: SentForm, ward: WardRecord, policy: Policy) -> NewChild:
    form = sheet.form
    name = form.text(NAME, "Name on the screens", needed=True) or ""
    _not_longer(form, NAME, "Name on the screens", name, LONGEST_NAME)
    bed = form.text(BED, "Bed", needed=True) or ""
    _not_longer(form, BED, "Bed", bed, LONGEST_BED)
    came = form.instant(
        CAME_AT, "On this ward since", sheet.zone, sheet.now, needed=True
    )
    at = came or sheet.now
    stay = {"ward": ward.key, "bed": bed, "unit": ward.unit}
    facts: list[tuple[str, datetime, dict[str, Any]]] = [("stay", at, stay)]
    for kind_id in ASKED_OF_A_NEW_CHILD:
        kind = every_kind()[kind_id]
        read = read_sheet(kind, questions_of(kind_id, policy), sheet)
        if any(value is not None for value in read.body.values()):
            facts.append((kind_id, at, read.body))
    told = {kind: body for kind, _, body in facts}
    born = birth_from_text(told.get("birth", {}).get("born"), ward.zone)
    known = Known(policy, at, ward.zone, known_or_none(born))
    weight = questions_of("weight", policy)
    hold_measured(weight, told.get("weight", {}), form, known)
    return NewChild(name, tuple(facts))


def _nothing_of_a_new_child(form: Typed) -> None:
    """Note what belongs to a new child where one already here is chosen."""
    for name in (NAME, BED, BORN, GESTATION, WEIGHT):
        if form.fields.get(name, "").strip():
            form.fault(
                "contradiction",
                "A child already here is chosen, and yet something is said of a new one.",
                name,
                "take it away, or choose “a child new on the chart”",
            )


def _after_birth(
    form: Typed, child: NewChild | None, inserted: datetime | None, ward: WardRecord
) -> None:
    facts = {kind: told for kind, _, told in child.facts} if child else {}
    born = facts.get("birth", {}).get("born")
    if born is None or inserted is None:
        return
    if is_before_birth(inserted, born, ward.zone):
        form.fault(
            "too-long-ago",
            "Put in at: this is before the birth.",
            INSERTED_AT,
            "check both dates",
        )


def _not_longer(form: Typed, name: str, label: str, text: str, most: int) -> None:
    if len(text) > most:
        form.fault(
            "too-long",
            f"{label}: the text is longer than {most} characters.",
            name,
            "shorten it",
        )


def children_here(
    chart: ChartRepository, ward: str
) -> Collection[tuple[str, str, str]]:
    """Return key, name and bed of each child with a line on the ward, by bed."""
    found = {
        line.child: (line.child, line.child_name, line.bed)
        for line in chart.lines_in(ward)
    }
    return sorted(found.values(), key=lambda one: (one[2], one[0]))
