"""What a form's answers are held against: the line, the child, earlier entries.

Each check knows the line and notes a fault that says how to mend it. A check of a body
by itself lies with its kind in the registry.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.entries.kind import CHILD
from lumenkeep.core.model import known_or_none
from lumenkeep.core.model.chart import INSERTED, standing
from lumenkeep.ward.chart.charting.asked_back import SEND_AGAIN, SURE
from lumenkeep.ward.chart.charting.bedside import GONE
from lumenkeep.ward.chart.charting.grown import check_grown, check_organism
from lumenkeep.ward.chart.line_at_hand import SHARES_BED
from lumenkeep.ward.chart.read_birth import is_before_birth
from lumenkeep.ward.site.typed_values import Typed, after_insertion, minute_of

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import datetime

    from lumenkeep.core.entries.kind import Kind
    from lumenkeep.ward.chart.charting.bedside import FormContext
    from lumenkeep.ward.chart.charting.typed_entry import TypedEntry


def hold_against(
    kind: Kind, read: TypedEntry, form: Typed, bedside: FormContext, at: datetime
) -> None:
    """Note every fault of what was typed that the line and its entries show."""
    is_of_line = kind.about == "line" and kind.id != "line-inserted"
    if is_of_line:
        after_insertion(form, read.at_field, at, bedside.reading.state)
    if kind.id != "birth":
        _after_birth(read, form, bedside, at)
    _right_line(kind, form, bedside)
    check = _CHECKS.get(kind.id)
    if check is not None:
        check(read, form, bedside, at)


def within_its_minute(kind: Kind, bedside: FormContext, at: datetime) -> datetime:
    """Return the instant of something charted, after its like of the same minute.

    A form tells minutes and a guide seconds: what is charted later is later.
    """
    if bedside.wrong is not None:
        return at
    line = None if kind.about == CHILD else bedside.line.record.key
    before = [
        entry.happened_at
        for entry in standing(bedside.entries)
        if entry.line == line
        and entry.kind in (kind.id, INSERTED)
        and minute_of(entry.happened_at) == minute_of(at)
    ]
    return max([at, *before])


def _after_birth(
    read: TypedEntry, form: Typed, bedside: FormContext, at: datetime
) -> None:
    """With a year mistyped a sign would lie before all else, and count for nothing."""
    births = [e for e in standing(bedside.entries) if e.kind == "birth"]
    born = births[-1].body.get("born") if births else None
    if born and is_before_birth(at, str(born), bedside.zone):
        form.fault(
            "too-long-ago",
            "This time is before the birth.",
            read.at_field,
            "check both dates",
        )


def _right_line(kind: Kind, form: Typed, bedside: FormContext) -> None:
    line_kind = known_or_none(bedside.reading.state.case.line.kind)
    if kind.needs and line_kind not in kind.needs:
        form.fault("not-a-port", "This line is no port.", "task", "open the right line")


def _change(read: TypedEntry, form: Typed, bedside: FormContext, at: datetime) -> None:
    """A change comes after the change before it; a correction may lie anywhere."""
    if read.body.get("skin") is None and read.body.get("site") == "skin broken":
        read.body["skin"] = "broken"
    changes = bedside.reading.state.changes
    if changes and bedside.wrong is None:
        last, _ = changes[-1]
        form.after(read.at_field, "Time", at, last, "the last change on the chart")


def _set(read: TypedEntry, form: Typed, bedside: FormContext, at: datetime) -> None:
    del form, bedside, at
    read.body.setdefault("set", "main")


def _stay(read: TypedEntry, form: Typed, bedside: FormContext, at: datetime) -> None:
    """Say what ward and unit it is; out of the wards, neither ward, bed nor unit."""
    stays = [e for e in standing(bedside.entries) if e.kind == "stay"]
    if stays and bedside.wrong is None:
        last = stays[-1].happened_at
        form.after(read.at_field, "Moved at", at, last, "the last move charted")
    ward, bed = read.body.get("ward"), read.body.get("bed")
    if ward == GONE:
        read.body.update({"ward": None, "bed": None, "unit": None})
        return
    if ward is not None and bed is None:
        form.fault("missing", "Bed: nothing is filled in.", "bed", "fill it in")
    read.body["unit"] = bedside.offers["units"].get(str(ward))
    record = bedside.line.record
    if bedside.wrong is None and (ward, bed) == (bedside.line.ward.key, record.bed):
        form.fault(
            "contradiction",
            "The child is charted in this bed already.",
            "bed",
            "choose where the child has gone",
        )
    is_sure = form.text("bed" + SURE, "Bed") == bed
    if not is_sure and bedside.is_bed_taken(str(ward), str(bed or "")):
        form.fault("unlikely", f"{SHARES_BED}.", "bed", SEND_AGAIN)


def _out(read: TypedEntry, form: Typed, bedside: FormContext, at: datetime) -> None:
    key = bedside.line.record.key
    later = [
        e for e in standing(bedside.entries) if e.line == key and e.happened_at > at
    ]
    if later:
        form.fault(
            "contradiction",
            f"Out at: something was done on the line after that, entry {later[-1].id}.",
            read.at_field,
            "check the time, or correct that entry first",
        )


def _inserted(
    read: TypedEntry, form: Typed, bedside: FormContext, at: datetime
) -> None:
    key = bedside.line.record.key
    earlier = [
        e for e in standing(bedside.entries) if e.line == key and e.happened_at < at
    ]
    if earlier:
        form.fault(
            "contradiction",
            "Put in at: something was done on the line before that, "
            f"entry {earlier[0].id}.",
            read.at_field,
            "check the time, or correct that entry first",
        )


_CHECKS: Mapping[str, Callable[[TypedEntry, Typed, FormContext, datetime], None]] = {
    "dressing-change": _change,
    "set-change": _set,
    "line-removed": _out,
    "line-inserted": _inserted,
    "stay": _stay,
    "specimen": check_grown,
    "specimen-result": check_grown,
    "other-infection": check_grown,
    "pus": check_grown,
    "organism": check_organism,
}
