"""Read a child's chart as a surveillance timeline; each thing names its entries.

Only what stands counts. A specimen keeps the id of the entry that first charted it,
whatever was corrected since. One without a result says nothing yet: it stands in the
timeline without one, and apart, because it may still decide.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, tzinfo
from typing import TYPE_CHECKING, TypeVar

from lumenkeep.core.model.chart import birth_from_text, roots_of, standing
from lumenkeep.core.model.facts import is_known
from lumenkeep.core.outcomes.timeline import Moment, Specimen, Timeline, WardStay
from lumenkeep.ward.infections import timeline_parts as findings
from lumenkeep.ward.infections.timeline_parts import ACCESSES, tracked_lines

if TYPE_CHECKING:
    from lumenkeep.core.model.entry import Entry

KINDS = (
    "birth", "weight", "stay", "line-inserted", "line-removed", "line-tip", *ACCESSES,
    "specimen", "specimen-result", "organism", "sign", "blood-count", "gut", "other-infection",
    "condition", "transplant", "device", "pus", "self-injection", "infection-decision",
)  # fmt: skip
"""Kinds of entry that a determination is made from, and the decisions on it."""

UNNAMED = "organism not named"
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

    def each(
        kind: str, made: Callable[[Entry, Moment], Found | None]
    ) -> tuple[Found, ...]:
        told = (made(e, moment(e.happened_at)) for e in by_kind.get(kind, ()))
        return tuple(one for one in told if one is not None)

    stays = _stays(by_kind.get("stay", ()), moment)
    specimens, awaited = _specimens(
        by_kind.get("specimen", ()), _results(by_kind, roots), roots, moment
    )
    born = _born(by_kind.get("birth", ()), zone)
    timeline = Timeline(
        protocol=protocol,
        born=born,
        birthweight_g=_birthweight(by_kind.get("weight", ()), born, moment),
        conditions=each("condition", findings.condition),
        transplants=each("transplant", findings.transplant),
        stays=stays,
        lines=tracked_lines(counted, stays, moment),
        devices=findings.devices(by_kind.get("device", ()), moment),
        specimens=specimens,
        signs=each("sign", findings.sign),
        counts=each("blood-count", findings.count),
        gut=each("gut", findings.gut),
        other_infections=each("other-infection", findings.elsewhere),
        noted=(
            *each("pus", findings.pus),
            *each("self-injection", findings.self_injection),
        ),
        settled=each("organism", findings.settled),
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
    """Return the stays; a move of bed within a ward goes on with the stay.

    None where an entry does not say where the child went.
    """
    stays: list[WardStay] = []
    is_open = False
    if any("ward" not in entry.body for entry in entries):
        return ()  # nobody says where the child went: its stays are not known
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
        grams = entry.body.get("g")
        is_first = born is not None and moment(entry.happened_at).day == born
        if is_first and grams is not None:
            return float(grams)
    return None


def _results(
    by_kind: Mapping[str, Sequence[Entry]], roots: Mapping[int, int]
) -> dict[int, Entry]:
    """Return the latest written result by the specimen's first entry."""
    found: dict[int, Entry] = {}
    results = sorted(by_kind.get("specimen-result", ()), key=lambda e: e.id)
    for entry in results:
        if entry.body.get("specimen") is None:
            continue
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
        result = body if told is None else told.body
        at = moment(entry.happened_at)
        grown = _grown(result)
        source = body.get("source") or ""
        if grown is None:
            awaited.append(Awaited(root, at, source))
        names = (str(entry.id), *(() if told is None else (str(told.id),)))
        specimens.append(
            Specimen(
                f"e{root}",
                at,
                source,
                body.get("draw") or None,
                body.get("method") or "culture",
                grown or (),
                names,
                result_is_told=grown is not None,
            )
        )
    return tuple(specimens), tuple(awaited)


def _grown(result: Mapping[str, object]) -> tuple[str, ...] | None:
    """Return what grew; None without a result. What grew unnamed is asked about."""
    named = result.get("organisms")
    names = tuple(map(str, named)) if isinstance(named, list | tuple) else ()
    if names:
        return names
    word = result.get("result")
    if word == "grew":
        return (UNNAMED,)
    return () if word == "no-growth" else None
