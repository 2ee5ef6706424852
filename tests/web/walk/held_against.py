"""Every page's answer for a line, held against the second reading of its chart."""

from __future__ import annotations

import io
import json
from typing import TYPE_CHECKING, Any

from tests.fakes.chart_by_hand import Read, read_by_hand
from tests.fakes.house_by_hand import (
    AGENTS,
    PUT_ON,
    barred,
    due_now,
    findings,
    is_all_known,
)
from tests.web.walk import pages
from tests.web.walk.steps import CHILD_OF, LINES

from lumenkeep.core.policy import load_policy
from lumenkeep.core.reading.read_chart import read_chart
from lumenkeep.demo.hospital import ZONE
from lumenkeep.files.chart_reading import chart_as_json
from lumenkeep.ward.chart_file.carry import bounds_of_chart, carried_out
from lumenkeep.ward.chart_file.chart_file import chart_file_line, read_chart_file

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from datetime import datetime

    from tests.web.walk.steps import Walk

    Told = tuple[str, str, Mapping[str, Any]]
    """Line, page, and what the page claims of it."""

WARD = "kestrel"
CALLED = {
    "transparent": "Clear film",
    "transparent-chg-gel": "Clear film with chlorhexidine gel pad",
    "transparent-chg-disc": "Clear film over a chlorhexidine disc",
    "gauze": "Gauze",
    "gauze-under-transparent": "Gauze under a clear film",
    "bridge": "Tape bridge at the cord, stump bare",
    "chlorhexidine-alcohol": "Chlorhexidine 2 % in alcohol",
    "povidone-iodine": "Povidone-iodine",
}
SKIN_CALLED = {None: pages.NOT_KNOWN, "intact": "Intact", "broken": "Broken"}
KINDS = {
    "picc": "PICC",
    "tunnelled": "Tunnelled central line",
    "non-tunnelled": "Non-tunnelled central line",
    "port": "Implanted port",
}
PLACES = {"upper-arm": "upper arm", "chest": "chest"}
ANSWER = "answer"
OK = 200
LADDER = ("open", "sluggish", "no-return", "blocked")
"""How a lumen runs, the worst last."""


def wrong_in_reading(walk: Walk) -> list[str]:
    """Return where ``chart read`` of an export differs from the second reading."""
    read = _by_hand(walk)
    return _differing(walk, read, list(_chart_read(walk, read)))


def wrong_on_pages(walk: Walk, line: str) -> list[str]:
    """Return where a page of the ward or of a line differs from the second reading."""
    read = _by_hand(walk)
    told = [*_of_the_ward(walk), *_chart_read(walk, read)]
    if read[line].is_in:
        told += _of_the_line(walk, line)
    wrong = [*_differing(walk, read, told)]
    return [*wrong, *_two_answers(told), *_in_disorder(told), *_handover(walk, read)]


def _by_hand(walk: Walk) -> dict[str, Read]:
    at = walk.clock.at
    return {line: read_by_hand(walk.rows_of(line), line, at) for line in LINES}


def _differing(walk: Walk, read: Mapping[str, Read], told: Iterable[Told]) -> list[str]:
    expected = {line: _expected(one, walk.clock.at) for line, one in read.items()}
    wrong = []
    for line, page, claims in told:
        for name in sorted(claims.keys() - {ANSWER}):
            # Of a line that there is not, whatever is said is wrong.
            may_say = expected[line][name] if line in expected else []
            if (said := claims[name]) not in may_say:
                wrong.append(f"{line}, {page}: {name} is {said!r}, by hand {may_say!r}")
    return wrong


def _expected(read: Read, at: datetime) -> dict[str, list[Any]]:
    """Return for each claim what a page may say of it."""
    due = due_now(read, at)
    never = barred(read)
    agents = [CALLED[one] for one in AGENTS if one not in never]
    dressings = [CALLED[one] for one in PUT_ON if one not in never]
    hands = "dressing-now" if "dressing" in due else "other-now" if due else None
    ways = sorted(read.lumens.values(), key=LADDER.index)
    return {
        "is listed": [read.is_in],
        "held": [read.is_held],
        "held by a concern": [read.is_held],
        "needs hands": [hands, None] if read.is_held else [hands],
        "dressing": [read.dressing],
        "dressing on": [
            pages.NONE_ON
            if read.is_off
            else CALLED.get(read.dressing or "", pages.NOT_KNOWN)
        ],
        "put on": [_instant(read.put_on)],
        "findings": [findings(read)],
        "length": [pages.NOT_KNOWN if read.length is None else f"{read.length:g} mm"],
        "length mm": [read.length],
        "stitches": [pages.NOT_KNOWN if read.stitches is None else f"{read.stitches}"],
        "stitches counted": [read.stitches],
        "not tolerated": [read.sensitivities],
        "skin": [SKIN_CALLED[read.skin]],
        "skin word": [read.skin],
        "sets": [_hung(read)],
        "needle in": [read.needle_in],
        "in use": [read.in_use],
        "patency": ways[-1:] or [None],
        "due now": [due],
        # Who is wholly known gets the best that is not barred; nobody what is.
        "agent": (agents[:1] or [None]) if is_all_known(read) else [None, *agents],
        "dressing next": [None, *dressings],
    }


def _instant(at: datetime | None) -> str | None:
    return None if at is None else at.astimezone(ZONE).isoformat()


def _hung(read: Read) -> list[tuple[str | None, str | None]] | None:
    if read.sets is None:
        return None
    hung = [(one.kind, _instant(one.since)) for one in read.sets.values()]
    return sorted(hung, key=str)


def _of_the_ward(walk: Walk) -> Iterator[Told]:
    """Yield what the pages of the ward say of each line."""
    pages_of = (
        (f"/ward/{WARD}/", "ward", pages.ward_page),
        (f"/ward/{WARD}/round/", "round", pages.round_page),
    )
    for path, name, read_page in pages_of:
        told = read_page(_page(walk, path))
        for line in LINES:
            if line not in told:
                yield line, name, {"is listed": False}
        for line, claims in told.items():
            yield line, name, claims


def _of_the_line(walk: Walk, line: str) -> Iterator[Told]:
    """Yield what each page of a line that is in says."""
    at = f"/line/{line}/"
    yield line, "line page", pages.line_page(_page(walk, at))
    yield line, "plan", pages.plan_page(_page(walk, f"{at}plan/"))
    yield line, "guide", pages.guide_page(_page(walk, f"{at}guide/"))
    yield line, "look on a round", pages.says_held(_page(walk, f"{at}round/"))


def _page(walk: Walk, path: str) -> str:
    answer = walk.client.get(path)
    assert answer.status_code == OK, f"{path} -> {answer.status_code}"
    return pages.tight(answer.content.decode())


def _chart_read(walk: Walk, read: Mapping[str, Read]) -> Iterator[Told]:
    """Yield what ``chart read`` says of an export, for each line that is in."""
    at = walk.clock.at
    text = "".join(f"{chart_file_line(entry)}\n" for entry in carried_out(None))
    entries = read_chart_file(io.BytesIO(text.encode()), "walk", bounds_of_chart())
    lines = read_chart(entries, at, load_policy("quillmere"), ZONE)
    for one in json.loads(json.dumps(chart_as_json(lines, at, ZONE)))["lines"]:
        if read[one["line"]].is_in:
            yield one["line"], "chart read", pages.chart_answer(one)


def _two_answers(told: Iterable[Told]) -> Iterator[str]:
    """Yield where two pages give another plan for one line."""
    by_line: dict[str, dict[str, str]] = {}
    for line, page, claims in told:
        if claims.get(ANSWER):
            by_line.setdefault(line, {})[page] = claims[ANSWER]
    for line, answers in by_line.items():
        if len(set(answers.values())) > 1:
            yield f"{line}: the plan differs: {answers}"


def _in_disorder(told: Iterable[Told]) -> Iterator[str]:
    """Yield that a line which must not be used stands below one that may."""
    held = [
        claims["held"]
        for _, page, claims in told
        if page == "ward" and "held" in claims
    ]
    if held != sorted(held, reverse=True):
        yield f"ward: lines not to be used do not stand first: {held}"


def _handover(walk: Walk, read: Mapping[str, Read]) -> Iterator[str]:
    """Yield where the printed handover holds other lines than the second reading."""
    rows = pages.handover_page(_page(walk, f"/ward/{WARD}/handover/"))
    said = {(child, line.lower()) for child, line in rows}
    by_hand = {
        (f"Demo {CHILD_OF[line].upper()}", _line_in_words(one).lower())
        for line, one in read.items()
        if one.is_held and one.insertion is not None
    }
    if said != by_hand:
        yield f"handover: not to be used are {said}, by hand {by_hand}"


def _line_in_words(read: Read) -> str:
    told = read.insertion or {}
    kind = KINDS[told["kind"]] if told.get("kind") else "Kind not charted"
    place = PLACES[told["site"]] if told.get("site") else "site not charted"
    side = f"{told['side']} " if told.get("site") and told.get("side") else ""
    lumens = told.get("lumens")
    number = {None: [], 1: ["1 lumen"]}.get(lumens, [f"{lumens} lumens"])
    return ", ".join([kind, f"{side}{place}", *number])
