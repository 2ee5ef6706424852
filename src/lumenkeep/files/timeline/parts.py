"""Read the parts of a timeline file: days, stays, lines, specimens, findings."""

from __future__ import annotations

import re
from datetime import date, datetime
from typing import TYPE_CHECKING, TypeVar

from lumenkeep.core.model.reading import Reader, shown
from lumenkeep.core.outcomes.timeline import (
    CellCount,
    CircuitDevice,
    Dated,
    GutFinding,
    Moment,
    Noted,
    OtherInfection,
    SettledName,
    Sign,
    Specimen,
    TrackedLine,
    WardStay,
)
from lumenkeep.core.policy.files import world_bounds
from lumenkeep.errors import Fault
from lumenkeep.files.limits import DATE_PATTERN, YEARS

if TYPE_CHECKING:
    from lumenkeep.core.model.reading import Reader

MOMENT_MEND = "write a day, as in 2026-03-05, or a day and time, as in 2026-03-05T09:30"
MOMENT_PATTERN = (
    r"^\s*[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt ][0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]{1,6})?)?"
    r"([Zz]|[+-][0-9]{2}:?[0-9]{2})?\s*$"
)
METHODS = ("culture", "molecular")
DEVICES = ("ecmo", "vad")
CONDITIONS = ("epidermolysis-bullosa", "munchausen-by-proxy")
TRANSPLANTS = ("allogeneic", "autologous")
SIGNS = ("temperature", "chills", "hypotension", "apnoea", "bradycardia")
COUNTS = ("anc", "wbc")
GUT = ("gvhd", "stool")
FINDINGS = ("pus", "self-injection")
VASCULAR_SITES = (
    "peripheral-cannula", "arterial-catheter", "midline", "fistula-or-graft",
    "atrial-line", "balloon-pump", "reliable-outflow-device", "unaccessed-line",
    "eligible-line",
)  # fmt: skip
PER_MM3 = (0.0, 1_000_000.0)
GRADES = (0, 4)
STOOL_ML = (0.0, 30_000.0)
GRAMS_PER_KG = 1000
ENDS = 2

Found = TypeVar("Found")


def read_moment(reader: Reader, key: str, *, needed: bool = False) -> Moment | None:
    """Return a day, with the time of day where it is written."""
    value = reader.raw(key)
    if value is None:
        if needed:
            reader.faults.append(
                Fault(
                    "timeline-missing",
                    f"'{key}' is missing.",
                    reader.path(key),
                    MOMENT_MEND,
                )
            )
        return None
    return checked_moment(reader, value, key)


def checked_moment(reader: Reader, value: object, key: str) -> Moment | None:
    """Return ``value`` as a moment, else note the fault."""
    found = _moment(value)
    if found is None or not YEARS[0] <= found.day.year <= YEARS[1]:
        reader.faults.append(
            Fault(
                "timeline-bad-day",
                f"{shown(value)} is not a day.",
                reader.path(key),
                MOMENT_MEND,
            )
        )
        return None
    return found


def _told(reader: Reader, key: str) -> bool:
    """Whether a key stands there with a value, and not with null."""
    return reader.data.get(key) is not None


def slug(text: str) -> str:
    """Return words as a word of a list: small letters with hyphens between."""
    return "-".join(text.casefold().replace("_", " ").split())


def _moment(value: object) -> Moment | None:
    if isinstance(value, datetime):
        return Moment(value.date(), value.time(), has_clock=True)
    if isinstance(value, date):
        return Moment(value)
    if not isinstance(value, str):
        return None
    text = value.strip()
    try:
        if re.match(DATE_PATTERN, text):
            return Moment(date.fromisoformat(text))
        if re.match(MOMENT_PATTERN, text):
            at = datetime.fromisoformat(text)
            return Moment(at.date(), at.time(), has_clock=True)
    except ValueError:
        pass
    return None


def _day(reader: Reader, key: str, *, needed: bool = False) -> date | None:
    found = read_moment(reader, key, needed=needed)
    return None if found is None else found.day


def read_birth(reader: Reader) -> date | None:
    """Return the day of birth."""
    return _day(reader, "born")


def read_dated(reader: Reader, key: str, kinds: tuple[str, ...]) -> tuple[Dated, ...]:
    """Return conditions or transplants with their days."""
    found = []
    for row in reader.rows(key):
        kind = row.word("kind", kinds, needed=True)
        on = _day(row, "on", needed=True)
        row.finish()
        if kind and on:
            found.append(Dated(kind, on))
    return tuple(found)


def read_stays(reader: Reader) -> tuple[WardStay, ...]:
    """Return the stays."""
    found = []
    for row in reader.rows("stays"):
        location = row.text("location", needed=True)
        is_inpatient = row.flag("inpatient") or not row.has("inpatient")
        start = read_moment(row, "from", needed=True)
        end = read_moment(row, "to")
        row.finish()
        in_order(row, "to", end, "from", start)
        if location and start:
            found.append(WardStay(location, is_inpatient, start, end))
    return tuple(found)


def in_order(
    row: Reader, later: str, after: Moment | None, earlier: str, before: Moment | None
) -> None:
    """Note a fault where one moment lies before another that must come first."""
    if after is None or before is None or comes_first(before, after):
        return
    row.faults.append(
        Fault(
            "timeline-contradiction",
            f"'{later}' ({after}) lies before '{earlier}' ({before}).",
            row.path(later),
            f"correct it, or correct '{earlier}'",
        )
    )


def comes_first(before: Moment, after: Moment) -> bool:
    """Whether one moment does not lie after another, as exactly as both are known."""
    if before.has_clock and after.has_clock:
        return before <= after
    return before.day <= after.day


def read_devices(reader: Reader) -> tuple[CircuitDevice, ...]:
    """Return ECMO circuits and ventricular assist devices."""
    found = []
    for row in reader.rows("devices"):
        kind = row.word("kind", DEVICES, needed=True)
        start = read_moment(row, "from", needed=True)
        end = read_moment(row, "to")
        row.finish()
        in_order(row, "to", end, "from", start)
        if kind and start:
            found.append(CircuitDevice(kind, start, end))
    return tuple(found)


def read_specimens(reader: Reader) -> tuple[Specimen, ...]:
    """Return the specimens."""
    found = []
    for row in reader.rows("specimens"):
        name = row.text("id", needed=True)
        at = read_moment(row, "at", needed=True)
        source = row.text("source", needed=True)
        draw = _label(row, "draw")
        method = row.word("method", METHODS) or METHODS[0]
        organisms = row.words("organisms", None)
        row.finish()
        if name and at and source:
            slug = "-".join(source.casefold().split())
            is_told = _told(row, "organisms")
            found.append(
                Specimen(
                    name, at, slug, draw, method, organisms, result_is_told=is_told
                )
            )
    return tuple(found)


def _label(row: Reader, key: str) -> str | None:
    """Return a label; a bare number is one too."""
    value = row.raw(key)
    is_number = isinstance(value, int) and not isinstance(value, bool)
    return str(value) if is_number and abs(value) <= PER_MM3[1] else row.text(key)


def read_signs(reader: Reader) -> tuple[Sign, ...]:
    """Return the signs."""
    found = []
    coldest, hottest = world_bounds()["temperature-degc"].span
    for row in reader.rows("signs"):
        at = read_moment(row, "at", needed=True)
        kind = row.word("kind", SIGNS, needed=True)
        is_temperature = kind == SIGNS[0]
        celsius = row.number(
            "celsius",
            low=coldest,
            high=hottest,
            unit="°C",
            needed=is_temperature,
        )
        row.finish()
        if at and kind and (celsius is not None or not is_temperature):
            found.append(Sign(at, kind, celsius if is_temperature else None))
    return tuple(found)


def read_counts(reader: Reader) -> tuple[CellCount, ...]:
    """Return the cell counts."""
    found = []
    for row in reader.rows("counts"):
        at = read_moment(row, "at", needed=True)
        kind = row.word("kind", COUNTS, needed=True)
        value = row.number(
            "per_mm3", low=PER_MM3[0], high=PER_MM3[1], unit="per mm³", needed=True
        )
        row.finish()
        if at and kind and value is not None:
            found.append(CellCount(at, kind, value))
    return tuple(found)


def read_gut(reader: Reader) -> tuple[GutFinding, ...]:
    """Return what is known of the gut."""
    found = []
    least, most = (g / GRAMS_PER_KG for g in world_bounds()["mass-g"].span)
    for row in reader.rows("gut"):
        at = read_moment(row, "at", needed=True)
        kind = row.word("kind", GUT, needed=True)
        grade = row.whole(
            "grade",
            low=GRADES[0],
            high=GRADES[1],
            unit="grade",
            needed=kind == GUT[0],
        )
        volume = row.number(
            "ml_24h",
            low=STOOL_ML[0],
            high=STOOL_ML[1],
            unit="mL in 24 h",
            needed=kind == GUT[1],
        )
        mass = row.number("mass_kg", low=least, high=most, unit="kg")
        row.finish()
        if at and kind and (grade is not None or volume is not None):
            found.append(GutFinding(at, kind, grade, volume, mass))
    return tuple(found)


def read_other_infections(reader: Reader) -> tuple[OtherInfection, ...]:
    """Return the infections elsewhere."""
    found = []
    for row in reader.rows("other_infections"):
        kind = row.text("kind", needed=True)
        event_on = _day(row, "date_of_event", needed=True)
        window = _window(row)
        organisms = row.words("organisms", None)
        is_element = row.flag("blood_is_element")
        is_told = _told(row, "organisms")
        row.finish()
        if window and event_on and not window[0] <= event_on <= window[1]:
            row.faults.append(
                Fault(
                    "timeline-contradiction",
                    f"'date_of_event' ({event_on}) lies outside 'window' "
                    f"({window[0]} to {window[1]}).",
                    row.path("date_of_event"),
                    "correct it, or correct 'window'",
                )
            )
        if kind and event_on:
            found.append(
                OtherInfection(
                    slug(kind),
                    event_on,
                    window,
                    organisms,
                    is_element if _told(row, "blood_is_element") else None,
                    organisms_are_told=is_told,
                )
            )
    return tuple(found)


def _window(row: Reader) -> tuple[date, date] | None:
    value = row.raw("window")
    if value is None:
        return None
    if not isinstance(value, list) or len(value) != ENDS:
        row.faults.append(
            Fault(
                "timeline-wrong-kind",
                f"{shown(value)} is not a pair of days.",
                row.path("window"),
                'write first and last day, as in ["2026-03-05", "2026-03-11"]',
            )
        )
        return None
    first = checked_moment(row, value[0], "window[0]")
    last = checked_moment(row, value[1], "window[1]")
    in_order(row, "window[1]", last, "window[0]", first)
    return (first.day, last.day) if first and last else None


def read_findings(reader: Reader) -> tuple[Noted, ...]:
    """Return pus at vascular sites and self-injection."""
    found = []
    for row in reader.rows("findings"):
        at = read_moment(row, "at", needed=True)
        kind = row.word("kind", FINDINGS, needed=True)
        site = row.word("vascular_site", VASCULAR_SITES, needed=kind == FINDINGS[0])
        organisms = row.words("organisms", None)
        row.flag("suspected")  # suspected and observed count alike
        row.finish()
        if at and kind:
            is_told = _told(row, "organisms")
            found.append(Noted(at, kind, site, organisms, organisms_are_told=is_told))
    return tuple(found)


def read_settled(reader: Reader) -> tuple[SettledName, ...]:
    """Return what people said of organisms that no list understands."""
    found = []
    for row in reader.rows("organisms"):
        name = row.text("name", needed=True)
        what = row.text("is", needed=True)
        row.finish()
        if name and what:
            found.append(SettledName(name, what.strip()))
    return tuple(found)


UNKNOWN = "unknown"
TIPS = ("great-vessel", "elsewhere")
LINE_KINDS = (
    "picc", "non-tunnelled", "tunnelled", "port", "implanted-port", "umbilical",
    "umbilical-venous", "umbilical-arterial", "haemodialysis", "tunnelled-haemodialysis",
    "non-tunnelled-haemodialysis", "introducer", "pulmonary-artery", "arterial",
    "peripheral-arterial", "peripheral-arterial-catheter", "midline", "peripheral",
    "peripheral-cannula", "fistula-or-graft", "atrial-line", "balloon-pump", "ecmo",
    "ecmo-cannula", "vad", "reliable-outflow-device", "pacing-wire", "other",
)  # fmt: skip
"""Kinds of line and of what is taken for one; the tip decides about most of them."""


def _told_moment(reader: Reader, key: str) -> Moment | None:
    """Return a moment; None also where the file says that it is unknown."""
    return None if reader.raw(key) == UNKNOWN else read_moment(reader, key)


def read_lines(reader: Reader) -> tuple[TrackedLine, ...]:
    """Return the lines."""
    found = []
    for row in reader.rows("lines"):
        name = row.text("id", needed=True)
        kind = row.text("kind", needed=True)
        if kind is not None:
            kind = row.checked_word(slug(kind), "kind", LINE_KINDS)
        tip = row.word("tip", (*TIPS, UNKNOWN))
        inserted = _told_moment(row, "inserted")
        accessed = _told_moment(row, "first_access")
        removed = _told_moment(row, "removed")
        row.finish()
        in_order(row, "removed", removed, "inserted", inserted)
        in_order(row, "first_access", accessed, "inserted", inserted)
        in_order(row, "removed", removed, "first_access", accessed)
        if name and kind:
            found.append(
                TrackedLine(
                    name,
                    kind,
                    None if tip == UNKNOWN else tip,
                    inserted,
                    accessed,
                    row.data.get("first_access", UNKNOWN) != UNKNOWN,
                    removed,
                    removal_is_told=row.data.get("removed") != UNKNOWN,
                )
            )
    return tuple(found)
