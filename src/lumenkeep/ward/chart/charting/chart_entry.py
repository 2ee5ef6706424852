"""Chart an entry of any kind that has a form."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.entries import kind_of
from lumenkeep.core.entries.kind import CHILD
from lumenkeep.core.entries.signs import contradictions
from lumenkeep.errors import ChartError, Fault
from lumenkeep.ward.chart.acting import ToChart, charts
from lumenkeep.ward.chart.charting.asked_back import hold_measured, known_at
from lumenkeep.ward.chart.charting.bedside import FormContext, bedside, kinds_by_hand
from lumenkeep.ward.chart.charting.form_fields import asked_of
from lumenkeep.ward.chart.charting.held_against import hold_against, within_its_minute
from lumenkeep.ward.chart.charting.substances import told_before
from lumenkeep.ward.chart.charting.typed_entry import SentForm, read_sheet
from lumenkeep.ward.chart.line_at_hand import line_at_hand, line_in_place
from lumenkeep.ward.chart.records import Draft

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime

    from lumenkeep.core.entries.kind import Kind
    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.chart.charting.form_fields import FormField
    from lumenkeep.ward.chart.charting.typed_entry import TypedEntry
    from lumenkeep.ward.site.people import WardRecord
    from lumenkeep.ward.site.sent import Sent
    from lumenkeep.ward.site.typed_values import Typed

CONNECTORS = "connectors"
"""Field of a change that charts the connectors with it, as an entry of their own."""
OF_A_LINE_THAT_IS_OUT = ("line-tip", "line-access")
"""Kinds that may be charted of a line after it came out: a result may come late."""


def form_kind(kind: str) -> Kind:
    """Return a kind that has a form.

    Raises
    ------
    ChartError
        ``chart-no-such-fact``: there is none, or nobody charts it by hand.
    """
    found = kind_of(kind)
    if found is None or found.form is None:
        raise ChartError(
            [
                Fault(
                    "chart-no-such-fact",
                    "This is nothing that is charted here.",
                    "kind",
                    "choose one of: " + ", ".join(kinds_by_hand()),
                )
            ]
        )
    return found


def bedside_of(
    at: WardContext, line: str, kind: Kind, *, staff: Mapping[str, str] | None = None
) -> FormContext:
    """Return what a form of a kind needs to know of a line now.

    Raises
    ------
    ChartError
        There is no such line, or it is out and the kind is done on a line in place.
    """
    is_late = kind.about == CHILD or kind.id in OF_A_LINE_THAT_IS_OUT
    find = line_at_hand if is_late else line_in_place
    return bedside(at, find(at, line), staff=staff)


@charts
def chart_entry(
    at: WardContext,
    sent: Sent,
    form: Typed,
    *,
    line: str,
    kind: str,
    at_bed: FormContext | None = None,
) -> ToChart:
    """Write what was typed into a form.

    Parameters
    ----------
    line
        Key of the line, or of one of the child's lines for what concerns the child.
    kind
        Id of a kind that has a form.
    at_bed
        The line as the form has just read it, for this kind; None: it is read here.
    """
    what = form_kind(kind)
    if at_bed is None:
        at_bed = bedside_of(at, line, what)
    read, when = read_form(what, at_bed, form, sent.ticked)
    drafts = drafts_of(what, at_bed, read, when, sent.by.key)
    if what.id == "dressing-change" and sent.typed.get(CONNECTORS) == "yes":
        child = at_bed.line.record.child
        drafts.append(Draft(child, line, "connector-change", when, sent.by.key, {}))
    return ToChart(_ward_of(at, at_bed, read), drafts)


def _ward_of(at: WardContext, at_bed: FormContext, read: TypedEntry) -> WardRecord:
    """Return the ward whose policy counts: after a move, the one moved to."""
    wards = {ward.key: ward for ward in at.chart.wards()}
    return wards.get(str(read.body.get("ward") or ""), at_bed.line.ward)


def read_form(
    kind: Kind,
    at_bed: FormContext,
    form: Typed,
    ticked: Mapping[str, Sequence[str]],
) -> tuple[TypedEntry, datetime]:
    """Return what a form says and when it was so, noting every fault in ``form``."""
    asked = asked_of(kind, at_bed)
    told = told_before(at_bed)
    sheet = SentForm(form, ticked, at_bed.zone, at_bed.now, told)
    read = read_sheet(kind, asked, sheet)
    wrong = at_bed.wrong
    at = read.at or (wrong.happened_at if wrong is not None else at_bed.now)
    _ask_which_is_meant(kind, asked, read, form)
    at = within_its_minute(kind, at_bed, at)
    hold_against(kind, read, form, at_bed, at)
    hold_measured(asked, read.body, form, known_at(at_bed, at))
    if kind.id == "dressing-change" and wrong is None:
        form.word(CONNECTORS, "Connectors changed too", ("yes", "no"))
    return read, at


def _ask_which_is_meant(
    kind: Kind, asked: Sequence[FormField], read: TypedEntry, form: Typed
) -> None:
    """Note two answers that cannot both be; the chart would take the graver one."""
    names = {one.field.key: one.name for one in reversed(asked) if one.field}
    faulty = {fault.where for fault in form.faults}
    for one in contradictions(kind, read.body):
        name = names.get(one.ends.key, one.ends.form_name)
        if name not in faulty:
            form.fault(
                "contradiction",
                f"{one.ends.label}: “{one.word}”, and yet “{one.other}” "
                f"({one.begins.label}). Which is meant?",
                name,
                "take one of the two back",
            )


def drafts_of(
    kind: Kind, at_bed: FormContext, read: TypedEntry, at: datetime, by: str
) -> list[Draft]:
    """Return the entry to write, on the line or on the child alone."""
    record, wrong = at_bed.line.record, at_bed.wrong
    if wrong is not None:
        line, corrects = wrong.line, wrong.id
    else:
        line, corrects = (None if kind.about == CHILD else record.key), None
    return [Draft(record.child, line, kind.id, at, by, read.body, corrects)]
