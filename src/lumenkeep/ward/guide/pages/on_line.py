"""The guide on the page of a line: what can be guided, and how guided work went."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lumenkeep.core.asepsis.words import VERBS
from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.text.moments import capital, counted, moment_in_words
from lumenkeep.ward.guide.account.read import LEFT, STOPPED
from lumenkeep.ward.guide.pages.context import runs
from lumenkeep.ward.guide.pages.prepare import CHANGE, guide_links
from lumenkeep.ward.guide.records import BESIDE, WRITTEN
from lumenkeep.ward.site.pages.shapes import Told

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from datetime import datetime, tzinfo

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.line_at_hand import LineAtHand
    from lumenkeep.ward.guide.records import AccountRecord

MINUTE = 60
ENDED = {
    STOPPED: "Stopped: covered where it was open, and help was called.",
    LEFT: "Left off: the child came first.",
}
COMPARED = {
    "ending": "how it ended",
    "values": "what was measured and seen",
    "steps": "the seconds of the steps",
    "slips": "the slips",
    "bare_seconds": "how long it lay open to the room",
    "pauses": "the pauses",
    "remarks": "the remarks",
    "do_not_use_known": "why the line was used all the same",
    "confirmed": "who confirmed it",
}
"""What one tablet may tell otherwise than another."""


@dataclass(frozen=True, slots=True)
class GuideTold:
    """One guided procedure as the page shows it.

    Attributes
    ----------
    lines
        Label and sentence, in the order of what a reader asks first.
    """

    entry: int
    title: str
    when: str
    people: str
    ended: str
    lines: tuple[tuple[str, str], ...]
    beside: tuple[Told, ...]


def guides_told(
    entries: Iterable[Entry],
    accounts: Sequence[AccountRecord],
    titles: Mapping[str, str],
    items: Mapping[str, str],
    names: Mapping[str, str],
    now: datetime,
    zone: tzinfo,
) -> tuple[GuideTold, ...]:
    """Return the guided procedures of a line, the newest first.

    Parameters
    ----------
    accounts
        What tablets told of them.
    titles, items, names
        Plain names of procedures, things laid out and staff, by id.
    """
    return tuple(
        GuideTold(
            entry.id,
            titles.get(told["procedure"], told["procedure"]),
            moment_in_words(entry.happened_at, now, zone),
            _people(told, names),
            ENDED.get(told["ending"], ""),
            tuple(_lines(told, items)),
            tuple(_beside(told["run"], accounts, names, now, zone)),
        )
        for entry in _once(entries)
        for told in (entry.body["guide"],)
    )


NEEDED = ("run", "procedure", "operator", "ending")
"""Without these an account that came with a file tells nothing."""


def _once(entries: Iterable[Entry]) -> Iterator[Entry]:
    """Yield one entry of each guide, the newest first."""
    seen = set()
    for entry in sorted(entries, key=lambda e: (e.happened_at, -e.id), reverse=True):
        told = entry.body.get("guide") or {}
        run = told.get("run")
        is_whole = all(isinstance(told.get(key), str) for key in NEEDED)
        if is_whole and run not in seen:
            seen.add(run)
            yield entry


def _people(told: Mapping[str, Any], names: Mapping[str, str]) -> str:
    operator = names.get(told["operator"], told["operator"])
    assistant = told.get("assistant")
    said = f"{operator} operated"
    if assistant:
        said += f", {names.get(assistant, assistant)} assisted"
    both = {told["operator"], assistant} - {None} <= set(told.get("confirmed", ()))
    return (
        f"{said}; {'both' if assistant else 'who'} confirmed it."
        if both
        else f"{said}."
    )


def _lines(
    told: Mapping[str, Any], items: Mapping[str, str]
) -> Iterator[tuple[str, str]]:
    yield from (("Look at this", flag) for flag in told.get("flags", ()))
    if known := told.get("do_not_use_known"):
        yield "Do not use the line", f"Known, and gone on because: {known['why']}"
    yield from (("Slip", _slip(slip)) for slip in told.get("slips", ()))
    spares = told.get("spares", {}).items()
    yield from _if_any(
        "Spares used", ", ".join(f"{n} × {items.get(item, item)}" for item, n in spares)
    )
    yield from _times(told)
    yield from _seen(told)
    yield from _if_any("Remarks", told.get("remarks", ""))


def _times(told: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    yield from _if_any("By the clock", "; ".join(_timed(told.get("timed", ()))))
    for one in told.get("early", ()):
        yield "Ended early", f"{_step(one)} after {one['seconds']} s: {one['why']}"
    if bare := told.get("bare_seconds"):
        yield "Open to the room", f"{bare // MINUTE} min {bare % MINUTE} s"
    for pause in told.get("pauses", ()):
        yield "Pause", str(pause.get("why", "")) or "no reason given"
    if ahead := told.get("clock_ahead_seconds"):
        yield "The tablet’s clock", f"was wrong by {abs(ahead)} s and was put right."


def _seen(told: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    for one in told.get("unknown", ()):
        yield "Not known", f"{_field(one['field'])}: {one['why']}"
    yield from ((one["label"], str(one["value"])) for one in told.get("noted", ()))
    if told.get("acknowledged"):
        yield "New facts", "What was charted meanwhile was read and acknowledged."


def _if_any(label: str, said: str) -> Iterator[tuple[str, str]]:
    if said:
        yield label, said


def _slip(slip: Mapping[str, Any]) -> str:
    acts = counted(len(slip["way"]), "act", "acts")
    how = f"way back of {acts}" if slip["ended"] == "way-back" else slip["ended"]
    return f"{slip['says']} {_step(slip)}; {how}."


def _step(one: Mapping[str, Any]) -> str:
    """Return a step by its number and what is done at it."""
    verb = VERBS.get(one["verb"], one["verb"])
    return f"Step {one['step']}, {verb}" if verb else f"Step {one['step']}"


def _timed(timed: Iterable[Mapping[str, Any]]) -> Iterator[str]:
    """Yield each kind of timed step with its least and its real seconds."""
    seconds: dict[tuple[str, int], list[str]] = {}
    for one in timed:
        key = (one["verb"], one["least"])
        seconds.setdefault(key, []).append(str(one["seconds"]))
    for (verb, least), real in seconds.items():
        words = capital(VERBS.get(verb, verb))
        yield f"{words} {', '.join(real)} s (at least {least} s)"


def _field(name: str) -> str:
    return name.removeprefix("chart-").replace("-", " ")


def _beside(
    run: str,
    accounts: Sequence[AccountRecord],
    names: Mapping[str, str],
    now: datetime,
    zone: tzinfo,
) -> Iterator[Told]:
    of_run = [one for one in accounts if one.run == run]
    written = next((one.body for one in of_run if one.fate == WRITTEN), {})
    for one in of_run:
        if one.fate == BESIDE:
            said = [
                words
                for key, words in COMPARED.items()
                if one.body.get(key) != written.get(key)
            ]
            when = moment_in_words(one.received_at, now, zone)
            yield Told(
                f"{when}, sent by {names.get(one.by, one.by)}",
                ", ".join(said) or "only the times",
            )


def guides_of(
    found: LineAtHand,
    entries: Iterable[Entry],
    names: Mapping[str, str],
    now: datetime,
) -> dict[str, Any]:
    """Return what the page of a line shows of the guide.

    Parameters
    ----------
    names
        Names of staff by key, for the screen.
    """
    bedside = bedside_of(found.policy, found.ward.day_of(now))
    is_in = found.record.state.removed_at is None
    told = [entry for entry in entries if "guide" in entry.body]
    return {
        "guide_links": guide_links(found) if is_in else (),
        "guide_first": CHANGE,
        "guided": guides_told(
            told,
            runs().accounts_on(found.record.key) if told else (),
            {name: one.title for name, one in bedside.procedures.items()},
            {name: item.label for name, item in bedside.items.items()},
            names,
            now,
            found.ward.zone,
        ),
    }
