"""Read a child's chart as a surveillance timeline; each thing names its entries.

Only what stands counts. A specimen keeps the id of the entry that first charted it,
whatever was corrected since. One without a result says nothing yet: it is left out of
the timeline and told apart, because it may still decide.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, tzinfo
from typing import TYPE_CHECKING, TypeVar

from lumenkeep.model.chart import birth_from_text, roots_of, standing
from lumenkeep.model.facts import is_known
from lumenkeep.outcomes.timeline import (
    CellCount,
    CircuitDevice,
    Dated,
    GutFinding,
    Moment,
    Noted,
    OtherInfection,
    Sign,
    Specimen,
    Timeline,
    WardStay,
)
from lumenkeep.services.lines_of_chart import ACCESSES, tracked_lines

if TYPE_CHECKING:
    from lumenkeep.model.entry import Entry

KINDS = (
    "birth", "weight", "stay", "line-inserted", "line-removed", "line-tip", *ACCESSES,
    "specimen", "specimen-result", "sign", "blood-count", "gut", "other-infection",
    "condition", "transplant", "device", "pus", "self-injection", "infection-decision",
)  # fmt: skip
"""Kinds of entry that a determination is made from, and the decisions on it."""

BLOOD = "blood"
Found = TypeVar("Found")


@dataclass(frozen=True, slots=True)
class Awaited:
    """A specimen without a result: its entry and the moment it was taken."""

    entry: int
    at: Moment
    source: str


@dataclass(frozen=True, slots=True)
class ChartTimeline:
    """What a child's chart says, as surveillance reads it.

    Attributes
    ----------
    awaited
        Specimens without a result.
    taken
        Entry, and moment of taking, of every specimen by its id in the timeline.
    """

    timeline: Timeline
    awaited: tuple[Awaited, ...]
    taken: Mapping[str, Moment]


def timeline_of_chart(
    entries: Sequence[Entry], zones: Mapping[str, tzinfo], protocol: str
) -> ChartTimeline:
    """Return the timeline of one child.

    Parameters
    ----------
    entries
        Of the child and all its lines, of the kinds in `KINDS` or of all.
    zones
        The zone of each ward; days are those of the ward the child last came to.
    protocol
        The protocol year.
    """
    counted = standing(entries)
    roots = roots_of(entries)
    zone = _zone(counted, zones)

    def moment(at: datetime) -> Moment:
        local = at.astimezone(zone)
        return Moment(local.date(), local.time(), has_clock=True)

    by_kind: dict[str, list[Entry]] = {}
    for entry in counted:
        by_kind.setdefault(entry.kind, []).append(entry)

    def each(kind: str, made: Callable[[Entry, Moment], Found]) -> tuple[Found, ...]:
        return tuple(made(e, moment(e.happened_at)) for e in by_kind.get(kind, ()))

    stays = _stays(by_kind.get("stay", ()), moment)
    specimens, awaited = _specimens(
        by_kind.get("specimen", ()), _results(by_kind, roots), roots, moment
    )
    born = _born(by_kind.get("birth", ()), zone)
    timeline = Timeline(
        protocol=protocol,
        born=born,
        birthweight_g=_birthweight(by_kind.get("weight", ()), born, moment),
        conditions=each(
            "condition", lambda e, at: Dated(e.body["kind"], at.day, (str(e.id),))
        ),
        transplants=each("transplant", lambda e, _: _transplant(e)),
        stays=stays,
        lines=tracked_lines(counted, stays, moment),
        devices=_devices(by_kind.get("device", ()), moment),
        specimens=specimens,
        signs=each("sign", _sign),
        counts=each("blood-count", _count),
        gut=each("gut", _gut),
        other_infections=each("other-infection", lambda e, _: _elsewhere(e)),
        noted=(*each("pus", _pus), *each("self-injection", _self_injection)),
    )
    taken = {
        f"e{roots[e.id]}": moment(e.happened_at) for e in by_kind.get("specimen", ())
    }
    return ChartTimeline(timeline, awaited, taken)


def _zone(counted: Iterable[Entry], zones: Mapping[str, tzinfo]) -> tzinfo:
    zone: tzinfo = next(iter(zones.values()), UTC)
    for entry in counted:
        if entry.kind == "stay":
            zone = zones.get(entry.body.get("ward") or "", zone)
    return zone


def _stays(
    entries: Sequence[Entry], moment: Callable[[datetime], Moment]
) -> tuple[WardStay, ...]:
    """Return the stays; a move of bed within a ward goes on with the stay."""
    stays: list[WardStay] = []
    is_open = False
    for entry in entries:
        at = moment(entry.happened_at)
        ward = entry.body.get("ward")
        is_inpatient = ward is not None and entry.body.get("inpatient", True)
        location = str(ward or entry.body.get("to") or "elsewhere")
        same = is_open and stays[-1].location == location
        if same and stays[-1].is_inpatient == is_inpatient:
            continue
        if is_open:
            last = stays[-1]
            stays[-1] = WardStay(
                last.location, last.is_inpatient, last.start, at, last.entries
            )
        is_open = is_inpatient or "inpatient" in entry.body
        if is_open:
            stays.append(
                WardStay(location, bool(is_inpatient), at, None, (str(entry.id),))
            )
    return tuple(stays)


def _born(entries: Sequence[Entry], zone: tzinfo) -> date | None:
    for entry in reversed(entries):
        born = birth_from_text(entry.body.get("born"), zone)
        if is_known(born):
            text = str(entry.body["born"])
            if "T" not in text:
                return date.fromisoformat(text)
            return datetime.fromisoformat(text).astimezone(zone).date()
    return None


def _birthweight(
    entries: Sequence[Entry],
    born: date | None,
    moment: Callable[[datetime], Moment],
) -> float | None:
    """Return the first weight of the day of birth: a later one is no birthweight."""
    for entry in entries:
        if born is not None and moment(entry.happened_at).day == born:
            return float(entry.body["g"])
    return None


def _results(
    by_kind: Mapping[str, Sequence[Entry]], roots: Mapping[int, int]
) -> dict[int, Entry]:
    """Return the latest written result by the specimen's first entry."""
    found: dict[int, Entry] = {}
    results = sorted(by_kind.get("specimen-result", ()), key=lambda e: e.id)
    for entry in results:
        specimen = int(entry.body["specimen"])
        found[roots.get(specimen, specimen)] = entry
    return found


def _specimens(
    entries: Sequence[Entry],
    results: Mapping[int, Entry],
    roots: Mapping[int, int],
    moment: Callable[[datetime], Moment],
) -> tuple[tuple[Specimen, ...], tuple[Awaited, ...]]:
    specimens, awaited = [], []
    for entry in entries:
        root, body = roots[entry.id], entry.body
        told = results.get(root)
        result = entry.body if told is None else told.body
        at = moment(entry.happened_at)
        if result.get("result") == "pending":
            awaited.append(Awaited(root, at, body["source"]))
            continue
        names = (str(entry.id), *(() if told is None else (str(told.id),)))
        specimens.append(
            Specimen(
                f"e{root}",
                at,
                body["source"],
                body.get("draw") or None,
                body.get("method") or "culture",
                tuple(result.get("organisms", ())),
                names,
            )
        )
    return tuple(specimens), tuple(awaited)


def _devices(
    entries: Sequence[Entry], moment: Callable[[datetime], Moment]
) -> tuple[CircuitDevice, ...]:
    """Return each time a device was in; coming out without going in says nothing."""
    found: list[CircuitDevice] = []
    open_at: dict[str, int] = {}
    for entry in entries:
        kind, at = entry.body["kind"], moment(entry.happened_at)
        place = open_at.get(kind)
        if entry.body["doing"] == "in" and place is None:
            open_at[kind] = len(found)
            found.append(CircuitDevice(kind, at, None, (str(entry.id),)))
        elif entry.body["doing"] == "out" and place is not None:
            del open_at[kind]
            was = found[place]
            both = (*was.entries, str(entry.id))
            found[place] = CircuitDevice(kind, was.start, at, both)
    return tuple(found)


def _sign(entry: Entry, at: Moment) -> Sign:
    celsius = entry.body.get("celsius")
    value = None if celsius is None else float(celsius)
    return Sign(at, entry.body["kind"], value, (str(entry.id),))


def _count(entry: Entry, at: Moment) -> CellCount:
    body = entry.body
    return CellCount(at, body["kind"], float(body["per_mm3"]), (str(entry.id),))


def _gut(entry: Entry, at: Moment) -> GutFinding:
    body = entry.body
    return GutFinding(
        at,
        body["kind"],
        body.get("grade"),
        body.get("ml_24h"),
        body.get("mass_kg"),
        (str(entry.id),),
    )


def _transplant(entry: Entry) -> Dated:
    on = date.fromisoformat(entry.body["on"])
    return Dated(entry.body["kind"], on, (str(entry.id),))


def _elsewhere(entry: Entry) -> OtherInfection:
    body = entry.body
    window = body.get("window")
    return OtherInfection(
        body["kind"],
        date.fromisoformat(body["date_of_event"]),
        (date.fromisoformat(window[0]), date.fromisoformat(window[1]))
        if window
        else None,
        tuple(body.get("organisms", ())),
        bool(body.get("blood_is_element")),
        (str(entry.id),),
    )


def _pus(entry: Entry, at: Moment) -> Noted:
    body = entry.body
    grown = tuple(body.get("organisms", ()))
    return Noted(at, "pus", body["vascular_site"], grown, (str(entry.id),))


def _self_injection(entry: Entry, at: Moment) -> Noted:
    return Noted(at, "self-injection", None, (), (str(entry.id),))
