"""What is told on the chart and what is told in a timeline file come to the same."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from lumenkeep.core.model.entry import Entry
from lumenkeep.core.outcomes.determine import determine
from lumenkeep.core.outcomes.protocol_year import protocol_year
from lumenkeep.files.timeline.timeline_file import timeline_from_mapping
from lumenkeep.ward.infections.infections_of import infections_of
from lumenkeep.ward.infections.timeline_of_chart import timeline_of_chart

if TYPE_CHECKING:
    from lumenkeep.core.outcomes.derivation import Event, UnknownFact

PROTOCOL = protocol_year("2025")
START = datetime(2025, 3, 1)  # noqa: DTZ001  a wall time; the clocks change on the 9th
ORGANISMS = (
    "S. aureus", "E. coli", "S. epidermidis", "CoNS", "Candida albicans",
    "viridans streptococci", "Salmonella sp.", "nothing anyone knows",
)  # fmt: skip
WARDS = ("kestrel", "wren", "heron")
ZONES = tuple(
    ZoneInfo(name) for name in ("America/Chicago", "Pacific/Apia", "Asia/Kathmandu")
)
hours_in = st.integers(0, 24 * 24)


@dataclass(frozen=True)
class Said:
    """One thing that was so: on the chart an entry, in the file a row of a list."""

    kind: str
    hour: int
    body: dict[str, Any]
    key: str
    row: dict[str, Any]
    line: str | None = None


def wall(hour: int) -> str:
    """Return the wall time so many hours on; the hour the clocks skip is moved."""
    return (START + timedelta(hours=hour, minutes=30)).isoformat()


@st.composite
def specimens(
    draw: st.DrawFn,
    hours: st.SearchStrategy[int] = hours_in,
    organisms: tuple[str, ...] = ORGANISMS,
) -> Said:
    hour, where = draw(hours), draw(st.sampled_from(("arm", "leg", "lumen")))
    grown = draw(st.lists(st.sampled_from(organisms), max_size=2, unique=True))
    source = draw(st.sampled_from(("blood", "blood", "blood", "urine")))
    method = draw(st.sampled_from(("culture", "culture", "molecular")))
    same = {"source": source, "draw": where, "method": method, "organisms": grown}
    body = {**same, "result": "grew" if grown else "no-growth"}
    return Said("specimen", hour, body, "specimens", {"at": wall(hour), **same})


@st.composite
def pairs(draw: st.DrawFn) -> list[Said]:
    """Return blood of one day and the next, skin organisms alone, and a sign near it."""
    start = draw(hours_in)
    near = st.integers(start, start + 30)
    skin = ("S. epidermidis", "CoNS", "S. hominis")
    return [draw(specimens(near, skin)), draw(specimens(near, skin)), draw(signs(near))]


@st.composite
def signs(draw: st.DrawFn, hours: st.SearchStrategy[int] = hours_in) -> Said:
    hour = draw(hours)
    kind = draw(st.sampled_from(("temperature", "temperature", "chills", "apnoea")))
    celsius = draw(st.sampled_from((38.0, 38.1, 39.5)))
    body = {"kind": kind, "celsius": celsius if kind == "temperature" else None}
    row = {"at": wall(hour), "kind": kind}
    if kind == "temperature":
        row["celsius"] = celsius
    return Said("sign", hour, body, "signs", row)


@st.composite
def counts(draw: st.DrawFn) -> Said:
    hour, cells = draw(hours_in), draw(st.sampled_from((100, 499, 500)))
    body = {"kind": draw(st.sampled_from(("anc", "wbc"))), "per_mm3": cells}
    return Said("blood-count", hour, body, "counts", {"at": wall(hour), **body})


@st.composite
def stories(draw: st.DrawFn) -> list[Said]:
    """Return a child's time in hospital: moves, one or two lines, blood and signs."""
    moves = sorted({0, *draw(st.lists(hours_in, max_size=2))})
    wards = draw(st.lists(st.sampled_from(WARDS), min_size=3, max_size=3))
    found = []
    for number, hour in enumerate(moves):
        row: dict[str, Any] = {"location": wards[number], "from": wall(hour)}
        if number + 1 < len(moves):
            row["to"] = wall(moves[number + 1])
        body = {"ward": wards[number], "bed": "01", "unit": "ward"}
        found.append(Said("stay", hour, body, "stays", row))
    found += draw(st.lists(specimens(), min_size=1, max_size=5))
    found += draw(st.one_of(pairs(), st.lists(signs(), max_size=3)))
    found += draw(st.lists(counts(), max_size=3))
    return found


@st.composite
def lines(draw: st.DrawFn) -> tuple[list[Said], list[dict[str, Any]]]:
    """Return the entries of lines that were placed in the stay, and their rows."""
    said: list[Said] = []
    rows = []
    for number in range(draw(st.integers(0, 2))):
        key = f"l-{number}"
        start = draw(st.integers(0, 15 * 24))
        tip = draw(st.sampled_from(("great-vessel", "great-vessel", "elsewhere", None)))
        row: dict[str, Any] = {"id": key, "kind": "picc", "inserted": wall(start)}
        body = {"kind": "picc", "site": "upper-arm", "side": "left"}
        said.append(Said("line-inserted", start, body, "", {}, key))
        if tip is not None:
            said.append(Said("line-tip", start, {"tip": tip}, "", {}, key))
            row["tip"] = tip
        if draw(st.booleans()):
            end = start + draw(st.integers(0, 9 * 24))
            said.append(Said("line-removed", end, {"reason": "out"}, "", {}, key))
            row["removed"] = wall(end)
        rows.append(row)
    return said, rows


def entries_of(said: list[Said], zone: ZoneInfo) -> list[Entry]:
    """Return the story as the chart holds it, in the order told."""
    return [
        Entry(
            number, "c-1", one.line, one.kind,
            datetime.fromisoformat(wall(one.hour)).replace(tzinfo=zone).astimezone(UTC),
            datetime(2025, 6, 1, tzinfo=UTC), "s-1", "", None, one.body,
        )
        for number, one in enumerate(said, start=1)
    ]  # fmt: skip


def file_of(said: list[Said], rows: list[dict[str, Any]]) -> dict[str, Any]:
    """Return the story as a timeline file holds it; ids are the entries' numbers."""
    data: dict[str, Any] = {"protocol": "2025", "child": {}, "lines": rows}
    for number, one in enumerate(said, start=1):
        if one.key:
            more = {"id": f"e{number}"} if one.key == "specimens" else {}
            data.setdefault(one.key, []).append({**one.row, **more})
    return data


WORD = re.compile(r"[\w-]+")


def bare(event: Event) -> tuple[Event, list[UnknownFact], list[tuple[object, ...]]]:
    """Return an event, its unknowns and steps, without the order of two lines.

    One sentence may name two lines, so the words of each are compared in any order.
    """
    steps = [
        (s.rule, sorted(WORD.findall(s.words)), sorted(s.evidence)) for s in event.steps
    ]
    unknown = sorted(event.unknown, key=lambda one: (one.kind, one.about, one.rule))
    return replace(event, steps=(), unknown=()), unknown, sorted(steps)


@settings(max_examples=80)
@given(stories(), lines(), st.sampled_from(ZONES), st.randoms(use_true_random=False))
def test_chart_and_file_come_to_the_same(
    story: list[Said],
    placed: tuple[list[Said], list[dict[str, Any]]],
    zone: ZoneInfo,
    shuffler: Any,
) -> None:
    said = [*story, *placed[0]]
    shuffler.shuffle(said)
    zones = dict.fromkeys(WARDS, zone)

    charted = timeline_of_chart(entries_of(said, zone), zones, "2025").timeline
    filed = timeline_from_mapping(file_of(said, placed[1]), "told")

    assert list(map(bare, determine(charted, PROTOCOL))) == list(
        map(bare, determine(filed, PROTOCOL))
    )


@settings(max_examples=40)
@given(stories(), lines(), st.data())
def test_a_slip_that_was_corrected_leaves_no_trace(
    story: list[Said],
    placed: tuple[list[Said], list[dict[str, Any]]],
    data: st.DataObject,
) -> None:
    zone = ZONES[0]
    entries = entries_of([*story, *placed[0]], zone)
    zones = dict.fromkeys(WARDS, zone)
    slip = data.draw(st.sampled_from(entries))
    wrong = replace(slip, body={**slip.body, "organisms": ["S. aureus"], "draw": "x"})
    number = len(entries) + 1
    right = replace(slip, id=number, corrects=slip.id)
    mended = [wrong if e.id == slip.id else e for e in entries] + [right]

    before = infections_of("c-1", entries, zones)
    after = infections_of("c-1", mended, zones)

    assert [one.digest for one in after] == [one.digest for one in before]


@settings(max_examples=40)
@given(stories(), lines())
def test_every_step_leads_to_entries_that_are_there(
    story: list[Said], placed: tuple[list[Said], list[dict[str, Any]]]
) -> None:
    entries = entries_of([*story, *placed[0]], ZONES[0])
    zones = dict.fromkeys(WARDS, ZONES[0])
    known = {str(entry.id) for entry in entries}

    for one in infections_of("c-1", entries, zones):
        for step in one.proposal.steps:
            assert set(step.entries) <= known
