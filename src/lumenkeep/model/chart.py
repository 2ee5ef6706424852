"""Fold chart entries into the state of a child and a line.

Bodies by kind (lengths in mm, masses in g, instants as ISO text in UTC)::

    birth           {"born": instant or date, "gestation": "27w3d" or null}
    weight          {"g": 940}
    sensitivities   {"known": ["chlorhexidine"]}
    skin            {"state": "intact" | "broken"}
    stay            {"ward": key, "bed": "09", "unit": "newborn-intensive-care"}
    line-inserted   {"kind", "site", "side", "lumens", "external_length_mm", "stitches",
                     "dressing"}
    dressing-change {"dressing", "agent", "external_length_mm", "stitches", "arm",
                     "skin", "site", "tolerance", "problems", "action", "outcome",
                     "because": "planned" | "early" | finding | null, "assistant"}
    re-cover        {"findings", "cause", "note"}   covered in an emergency: not a change
    finding         {"findings": ["damp"], "note"}
    connector-change, needle-change, line-review, site-check   {...}
    set-change      {"set": name, "kind": "lipid"}
    line-removed    {"reason"}

A site-check may also hold what was seen: "signs" (words of `model.signs`, all that
there were), "grades" (grade by scale), "arm_girth_mm", "external_length_mm", "arm",
"stitches". What people do about a concern, "concern" being its key::

    concern-raised        {"what", "note"}            raised by hand
    concern-acknowledged  {"concern", "label", "says", "note"}
    concern-handed-on     {"concern", "label", "says", "to": person or role, "note"}
    concern-closed        {"concern", "label", "says", "outcome", "note"}

A stay whose ward is null says that the child has left the hospital's wards; one with
"inpatient": false that it was in no bed of a ward (theatre, emergency department).

For the determination of infections, words from `infection_words`, days as ISO dates::

    specimen        {"source", "draw", "method", "result": "pending" | "no-growth" |
                     "grew", "organisms": [...]}   happened when it was taken
    specimen-result {"specimen": entry, "result": "no-growth" | "grew", "organisms"}
    sign            {"kind", "celsius"}
    blood-count     {"kind", "per_mm3"}
    gut             {"kind", "grade"} or {"kind", "ml_24h", "mass_kg"}
    other-infection {"kind", "date_of_event", "window": [first, last] or null,
                     "organisms", "blood_is_element"}
    condition       {"kind"}                       happened when it was documented
    transplant      {"kind", "on"}
    device          {"kind", "doing": "in" | "out"}
    pus             {"vascular_site", "organisms"}
    self-injection  {"how": "observed" | "suspected"}
    line-tip        {"tip": "great-vessel" | "elsewhere"}
    line-access     {"for": "infusion" | "withdrawal" | "monitoring"}
    infection-decision {"event": entry, "proposal": digest, "proposed": {...},
                     "decision", "verdict", "ward", "on", "because"}
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, tzinfo
from typing import TYPE_CHECKING, Any, TypeVar

from lumenkeep.model.case import (
    Case,
    Child,
    Dressing,
    Finding,
    InfusionSet,
    Line,
    Weight,
)
from lumenkeep.model.facts import NEVER_CHARTED, SAID_UNKNOWN, Fact
from lumenkeep.model.quantities import Gestation
from lumenkeep.model.times import Birth, utc

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from lumenkeep.model.entry import Entry


N = TypeVar("N", int, float)


def standing(entries: Iterable[Entry], known_at: datetime | None = None) -> list[Entry]:
    """Return the entries that count, in the order in which things happened.

    Parameters
    ----------
    entries
        Of one child or one line, in any order.
    known_at
        Leave out what was written later (UTC): the chart as it was then known.

    Returns
    -------
    list of Entry
        Without those that a later entry corrects, and without withdrawals.
    """
    written = [e for e in entries if known_at is None or e.written_at <= known_at]
    replaced = {e.corrects for e in written if e.corrects is not None}
    return sorted(
        (e for e in written if e.id not in replaced and e.kind != "withdrawn"),
        key=lambda e: (e.happened_at, e.id),
    )


def roots_of(entries: Iterable[Entry]) -> dict[int, int]:
    """Return for each entry's id that of the entry which first charted what it says.

    An entry that corrects nothing is its own; a chain of corrections has one root.
    """
    roots: dict[int, int] = {}
    for entry in sorted(entries, key=lambda e: e.id):
        earlier = entry.corrects
        roots[entry.id] = entry.id if earlier is None else roots.get(earlier, earlier)
    return roots


@dataclass(frozen=True, slots=True)
class LineState:
    """A line as its entries leave it at one instant.

    Attributes
    ----------
    case
        What the engines are asked about.
    changes
        Instant and reason of each dressing change, oldest first (UTC).
    lengths
        Instant and external length in mm, oldest first; insertion included.
    removed_at
        When the line was taken out; None while it is in.
    """

    case: Case
    changes: tuple[tuple[datetime, str], ...]
    lengths: tuple[tuple[datetime, float], ...]
    removed_at: datetime | None


def line_state(
    entries: Sequence[Entry],
    at: datetime,
    zone: tzinfo,
    *,
    known_at: datetime | None = None,
) -> LineState:
    """Return the state of one line and its child at ``at``.

    Parameters
    ----------
    entries
        Every entry of the child that concerns the child or this line.
    at
        Instant asked about (UTC); what happened later is left out.
    zone
        The ward's zone.
    known_at
        Also leave out what was written later than this (UTC).
    """
    fold = LineFold(zone)
    for entry in standing(entries, known_at):
        if entry.happened_at > at:
            break
        fold.take(entry)
    return fold.state()


@dataclass(slots=True)
class LineFold:
    """A line and its child while their entries are taken in, oldest first.

    Whoever asks about many moments of one line takes each entry once and asks for the
    state in between.
    """

    zone: tzinfo
    child: Child = field(
        default_factory=lambda: Child(sensitivities=NEVER_CHARTED, born=NEVER_CHARTED)
    )
    line: Line = field(default_factory=Line)
    sets: dict[str, InfusionSet] = field(default_factory=dict)
    changes: list[tuple[datetime, str]] = field(default_factory=list)
    lengths: list[tuple[datetime, float]] = field(default_factory=list)
    removed_at: datetime | None = None

    def take(self, entry: Entry) -> None:
        """Go on by one entry that stands."""
        self.child = _child_after(self.child, entry, self.zone)
        self.line = _line_after(self.line, entry)
        if entry.kind == "set-change":
            kind: Fact[str] = entry.body.get("kind") or SAID_UNKNOWN
            self.sets[set_of(entry)] = InfusionSet(kind, entry.happened_at)
        if entry.kind == "dressing-change":
            because = str(entry.body.get("because") or "")
            self.changes.append((entry.happened_at, because))
        length = entry.body.get("external_length_mm")
        if length is not None:
            self.lengths.append((entry.happened_at, float(length)))
        if entry.kind == "line-removed":
            self.removed_at = entry.happened_at

    def branch(self) -> LineFold:
        """Return a copy that goes on by itself."""
        return replace(
            self,
            sets=dict(self.sets),
            changes=list(self.changes),
            lengths=list(self.lengths),
        )

    def state(self) -> LineState:
        """Return the state so far."""
        line = self.line
        if self.sets:
            sets = tuple(self.sets[name] for name in sorted(self.sets))
            line = replace(line, sets=sets)
        case = Case(child=self.child, line=line, zone=self.zone)
        return LineState(
            case, tuple(self.changes), tuple(self.lengths), self.removed_at
        )


def set_of(entry: Entry) -> str:
    """Return the name of the infusion set that a change of one was about."""
    return str(entry.body.get("set", "main"))


def _child_after(child: Child, entry: Entry, zone: tzinfo) -> Child:
    body = entry.body
    if entry.kind == "birth":
        gestation = body.get("gestation")
        return replace(
            child,
            born=birth_from_text(body.get("born"), zone),
            gestation_at_birth=Gestation.read(gestation) if gestation else SAID_UNKNOWN,
        )
    if entry.kind == "weight":
        return replace(
            child,
            weights=(*child.weights, Weight(entry.happened_at, float(body["g"]))),
        )
    if entry.kind == "sensitivities":
        return replace(child, sensitivities=frozenset(body["known"]))
    if entry.kind == "stay":
        return replace(child, unit=body.get("unit") or SAID_UNKNOWN)
    if entry.kind == "skin" or (entry.kind == "dressing-change" and body.get("skin")):
        state: Fact[str] = body.get("state") or body.get("skin") or SAID_UNKNOWN
        return replace(child, skin_at_site=state)
    return child


def birth_from_text(text: str | None, zone: tzinfo) -> Fact[Birth]:
    """Return a birth from an ISO instant or date; unknown where there is none."""
    if not text:
        return SAID_UNKNOWN
    if "T" in text:
        return Birth.at(datetime.fromisoformat(text))
    return Birth.on(date.fromisoformat(text), zone)


def _line_after(line: Line, entry: Entry) -> Line:
    step = _STEPS.get(entry.kind)
    return step(line, entry.body, utc(entry.happened_at)) if step else line


def _inserted(line: Line, body: Body, at: datetime) -> Line:
    worn = body.get("dressing")
    bare = Dressing(NEVER_CHARTED, NEVER_CHARTED, ())
    return replace(
        line,
        dressing=Dressing(worn, at, ()) if worn else bare,
        kind=body.get("kind") or SAID_UNKNOWN,
        site=body.get("site") or SAID_UNKNOWN,
        inserted=at,
        lumens=body.get("lumens") or SAID_UNKNOWN,
        external_length_mm=_or_unknown(body.get("external_length_mm")),
        stitches=_or_unknown(body.get("stitches")),
    )


def _changed(line: Line, body: Body, at: datetime) -> Line:
    dressing: Fact[str] = body.get("dressing") or SAID_UNKNOWN
    changed = replace(line, dressing=Dressing(dressing, at, ()), inspected=at)
    for name in ("external_length_mm", "stitches"):
        if body.get(name) is not None:
            changed = replace(changed, **{name: body[name]})
    return changed


def _found(line: Line, body: Body, at: datetime) -> Line:
    before = line.dressing.findings
    seen = before if isinstance(before, tuple) else ()
    found = tuple(Finding(kind, at) for kind in body.get("findings", ()))
    dressing_now = replace(line.dressing, findings=(*seen, *found))
    return replace(line, dressing=dressing_now, inspected=at)


def _covered_for_now(line: Line, body: Body, at: datetime) -> Line:
    """Return the line after an emergency cover, which is not aseptic and ages nothing.

    Whatever was found, the dressing has come off: it counts as loose.
    """
    found = dict.fromkeys((*body.get("findings", ()), "loose"))
    return _found(line, {"findings": tuple(found)}, at)


Body = Mapping[str, Any]
_STEPS: dict[str, Callable[[Line, Body, datetime], Line]] = {
    "line-inserted": _inserted,
    "dressing-change": _changed,
    "re-cover": _covered_for_now,
    "finding": _found,
    "connector-change": lambda line, _, at: replace(line, connectors_changed=at),
    "needle-change": lambda line, _, at: replace(line, needle_changed=at),
    "line-review": lambda line, _, at: replace(line, reviewed=at),
    "site-check": lambda line, _, at: replace(line, inspected=at),
}


def _or_unknown(value: N | None) -> Fact[N]:
    return SAID_UNKNOWN if value is None else value
