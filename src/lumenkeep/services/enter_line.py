"""Bring a line on to the chart: a new child's first one, or another of a child here."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from lumenkeep.model.words import DRESSINGS, LINE_KINDS, SITES
from lumenkeep.services.chart_facts import HEAVIEST_G, LIGHTEST_G, WEIGHT
from lumenkeep.services.ports import Draft
from lumenkeep.services.read_birth import BORN, GESTATION, is_before_birth, read_birth
from lumenkeep.services.typed_values import Typed

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from lumenkeep.model.entry import Entry
    from lumenkeep.services.ports import Chart, Clock, StaffRecord, WardRecord
    from lumenkeep.services.register_ports import Register

CHILD, NAME, BED, CAME_AT = "child", "name", "bed", "came-at"
KIND, SITE, SIDE, LUMENS, INSERTED_AT, LENGTH, STITCHES, DRESSING = (
    "kind", "site", "side", "lumens", "inserted-at", "external-length-mm", "stitches",
    "dressing",
)  # fmt: skip
NEW = "new"
SIDES = ("left", "right")
LONGEST_NAME, LONGEST_BED = 120, 12
# Not clinical limits: beyond them two numbers ran together, or the unit was mistaken.
MOST_LUMENS, LONGEST_MM, MOST_STITCHES = 5, 900, 12
UMBILICAL = "umbilical"


@dataclass(frozen=True, slots=True)
class NewChild:
    """A child as typed: what the screens call it, and its first entries by kind."""

    name: str
    facts: tuple[tuple[str, datetime, dict[str, Any]], ...]


def enter_line(
    register: Register,
    chart: Chart,
    clock: Clock,
    *,
    ward: WardRecord,
    typed: Mapping[str, str],
    person: StaffRecord,
    submission: str,
) -> Sequence[Entry]:
    """Write a line, with its child where the child is new.

    Parameters
    ----------
    ward
        Where the child lies.
    typed
        ``child``: key of a child on the ward, or `NEW` with ``name``, ``bed``,
        ``came-at``, ``born`` (an instant, or a date where the time is not on record),
        ``gestation`` and ``weight-g``, the last three left out where not known; and
        the line: ``kind``, ``site``, ``side``, ``lumens``, ``inserted-at``,
        ``external-length-mm``, ``stitches``, ``dressing``.

    Raises
    ------
    ChartError
        Every fault at once.
    StoreError
        Nothing was written.
    """
    now = clock.now()
    form = Typed(typed)
    here = {line.child for line in chart.lines_in(ward.key)}
    chosen = form.word(CHILD, "Whose line it is", (NEW, *sorted(here)), needed=True)
    inserted = form.instant(INSERTED_AT, "Put in at", ward.zone, now, needed=True)
    child = _new_child(form, ward, now) if chosen == NEW else None
    if chosen != NEW:
        _nothing_of_a_new_child(form)
    body = _line(form)
    _after_birth(form, child, inserted, ward)
    form.raise_faults()
    at = inserted or now

    def drafts(child_key: str, line_key: str) -> list[Draft]:
        facts = child.facts if child is not None else ()
        return [
            *(
                Draft(child_key, None, kind, seen, person.key, told)
                for kind, seen, told in facts
            ),
            Draft(child_key, line_key, "line-inserted", at, person.key, body),
        ]

    return register.enter(
        None if chosen == NEW else chosen,
        child.name if child is not None else "",
        drafts,
        ward.policy_set,
        ward=ward.key,
        submission=submission,
    )


def _new_child(form: Typed, ward: WardRecord, now: datetime) -> NewChild:
    name = form.text(NAME, "Name on the screens", needed=True) or ""
    _not_longer(form, NAME, "Name on the screens", name, LONGEST_NAME)
    bed = read_bed(form, needed=True)
    came = form.instant(CAME_AT, "On this ward since", ward.zone, now, needed=True)
    at = came or now
    stay = {"ward": ward.key, "bed": bed, "unit": ward.unit}
    facts: list[tuple[str, datetime, dict[str, Any]]] = [("stay", at, stay)]
    birth = read_birth(form, ward.zone, now, needed=False)
    if any(birth.values()):
        facts.append(("birth", at, birth))
    grams = form.number(WEIGHT, "Weight", "g", LIGHTEST_G, HEAVIEST_G)
    if grams is not None:
        facts.append(("weight", at, {"g": grams}))
    return NewChild(name, tuple(facts))


def _line(form: Typed) -> dict[str, Any]:
    kind = form.word(KIND, "Kind of line", tuple(LINE_KINDS), needed=True)
    site = form.word(SITE, "Where it goes in", tuple(SITES))
    if kind is not None and site is not None:
        is_umbilical = kind.startswith(UMBILICAL)
        if is_umbilical != (site == UMBILICAL):
            form.fault(
                "contradiction",
                "An umbilical line goes in at the umbilicus, and no other line does.",
                SITE,
                "choose the kind or the site again",
            )
    return {
        "kind": kind,
        "site": site,
        "side": form.word(SIDE, "Side", SIDES),
        "lumens": form.count(LUMENS, "Lumens", 1, MOST_LUMENS),
        "external_length_mm": form.number(
            LENGTH, "Length outside the skin", "mm", 0, LONGEST_MM
        ),
        "stitches": form.count(STITCHES, "Stitches", 0, MOST_STITCHES),
        "dressing": form.word(DRESSING, "Dressing put on", tuple(DRESSINGS)),
    }


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


def read_bed(form: Typed, *, needed: bool) -> str:
    """Return the bed as typed; empty where none was."""
    bed = form.text(BED, "Bed", needed=needed) or ""
    _not_longer(form, BED, "Bed", bed, LONGEST_BED)
    return bed


def _not_longer(form: Typed, name: str, label: str, text: str, most: int) -> None:
    if len(text) > most:
        form.fault(
            "too-long",
            f"{label}: the text is longer than {most} characters.",
            name,
            "shorten it",
        )


def children_here(chart: Chart, ward: str) -> Collection[tuple[str, str, str]]:
    """Return key, name and bed of each child with a line on the ward, by bed."""
    found = {
        line.child: (line.child, line.child_name, line.bed)
        for line in chart.lines_in(ward)
    }
    return sorted(found.values(), key=lambda one: (one[2], one[0]))
