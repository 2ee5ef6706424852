"""What hangs on a line and how it runs: connectors, sets, needle, blood return."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries.answers import Text, Word
from lumenkeep.core.entries.kind import (
    GUIDED,
    KNOWN_HELD,
    LINE,
    NOTE,
    Field,
    Form,
    Kind,
    Task,
)
from lumenkeep.core.model import Dressing, InfusionSet, words
from lumenkeep.core.model.facts import NEVER_CHARTED, SAID_UNKNOWN, Fact, Unknown

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.core.entries.fold import LineFold
    from lumenkeep.core.model.entry import Entry

SET_DOINGS = {
    "up": "Put up",
    "changed": "Changed",
    "stopped": "Infusion stopped, the set is still connected",
    "down": "Taken down",
}
NEEDLE_DOINGS = {"in": "Put in", "changed": "Changed", "out": "Taken out"}
MAIN_SET = "main"
WITH_THE_NEEDLE = Unknown("came off with the needle")
HANGS_SINCE = Unknown("charted as out, and yet a set was hung since")
BLOOD_RETURN = {
    "yes": "Yes, easily",
    "sluggish": "Sluggish",
    "none": "None",
    "not-tested": "Not tested",
}
FLUSH = {
    "easy": "Easily",
    "stiff": "Stiffly",
    "blocked": "Not at all",
    "not-tested": "Not tested",
}


def set_of(entry: Entry) -> str:
    """Return the name of the infusion set that an entry is about."""
    return str(entry.body.get("set") or MAIN_SET)


def patency_of(body: Mapping[str, Any]) -> str | None:
    """Return how a lumen runs, from `words.PATENCY`; None where it was not tested.

    Open is said only of a lumen that gives blood easily and takes fluid easily.
    """
    blood, flush = body.get("blood_return"), body.get("flush")
    if flush == "blocked":
        return "blocked"
    if blood == "none":
        return "no-return"
    if blood == "sluggish" or flush == "stiff":
        return "sluggish"
    return "open" if (blood, flush) == ("yes", "easy") else None


def _hangs(fold: LineFold, entry: Entry) -> None:
    """Take in a set that was put up, changed, stopped or taken down.

    One whose infusion was stopped still hangs, also where nobody charted that it was
    put up: since when is then not known. One taken down hangs no more.
    """
    name, doing = set_of(entry), entry.body.get("doing") or "changed"
    kind = entry.body.get("kind") or SAID_UNKNOWN
    if doing == "down":
        fold.sets.pop(name, None)
        fold.line = replace(fold.line, sets=())
    elif doing == "stopped":
        hung = fold.sets.get(name, InfusionSet(SAID_UNKNOWN, NEVER_CHARTED))
        fold.sets[name] = replace(hung, kind=_what_ran(hung.kind, kind))
    else:
        fold.sets[name] = InfusionSet(kind, entry.happened_at)
        _is_used(fold)


def _is_used(fold: LineFold) -> None:
    """Take back what was charted before and cannot be while a set hangs."""
    if fold.line.in_use is False:
        fold.line = replace(fold.line, in_use=True)
    if fold.line.needle_in is False:
        fold.line = replace(fold.line, needle_in=HANGS_SINCE)
        _is_covered(fold)


def _what_ran(before: Fact[str], said: Fact[str]) -> Fact[str]:
    """Return what runs through a set, by two entries; unknown where they disagree."""
    if isinstance(before, Unknown):
        return said
    if isinstance(said, Unknown) or said == before:
        return before
    return Unknown("charted as two things")


def _is_covered(fold: LineFold) -> None:
    """Take back that no dressing is on: a needle that is in has one, of unknown kind."""
    if fold.line.dressing.is_off:
        fold.line = replace(fold.line, dressing=Dressing(NEVER_CHARTED, NEVER_CHARTED))


def _needled(fold: LineFold, entry: Entry) -> None:
    """Take in the needle; the dressing that held it comes off with it."""
    is_in = (entry.body.get("doing") or "changed") != "out"
    fold.line = replace(fold.line, needle_in=is_in)
    if is_in:
        fold.line = replace(fold.line, needle_changed=entry.happened_at)
        _is_covered(fold)
    else:
        bare = Dressing(WITH_THE_NEEDLE, WITH_THE_NEEDLE, (), is_off=True)
        fold.line = replace(fold.line, dressing=bare)


def _runs(fold: LineFold, entry: Entry) -> None:
    """Keep how each lumen runs; the line is as good as its worst lumen."""
    found = patency_of(entry.body)
    if found is None:
        return
    fold.lumens[str(entry.body.get("lumen") or "")] = found
    # A lumen that is open again ends the sign only where no other one is blocked.
    still = set(fold.lumens.values())
    if "blocked" not in still:
        fold.signs.pop("line-blocked", None)
    if still.isdisjoint(("blocked", "no-return")):
        fold.signs.pop("no-blood-return", None)
    ladder = tuple(words.PATENCY)
    worst = max(fold.lumens.values(), key=ladder.index)
    fold.line = replace(fold.line, patency=worst)


OF_HANGING = (
    Kind(
        "connector-change",
        "Needleless connectors changed",
        LINE,
        (NOTE, *GUIDED),
        Form(
            "Needleless connectors changed",
            "Chart it",
            happened="Done at",
        ),
        task=Task(
            "connector",
            "Needleless connectors",
            "line.connectors_changed",
            "the needleless connectors are due",
        ),
        uses_line=True,
    ),
    Kind(
        "set-change",
        "Administration set",
        LINE,
        (
            Field("doing", "What was done", Word(SET_DOINGS), said=""),
            Field(
                "kind",
                "What runs through it",
                Word(words.SET_KINDS),
                name="set-kind",
                required=True,
                said="",
            ),
            Field(
                "set",
                "Which set",
                Text(40, is_long=False),
                is_shown=False,
                hint="Where several hang, name this one.",
            ),
            NOTE,
            *GUIDED,
        ),
        Form("Administration set", "Chart it", happened="Done at"),
        takes=_hangs,
        uses_line=True,
    ),
    Kind(
        "needle-change",
        "Port needle",
        LINE,
        (
            Field("doing", "What was done", Word(NEEDLE_DOINGS), said=""),
            NOTE,
            *GUIDED,
        ),
        Form("Port needle", "Chart it", happened="Done at"),
        needs=("port",),
        takes=_needled,
        uses_line=True,
    ),
    Kind(
        "patency",
        "Blood return and flush",
        LINE,
        (
            Field(
                "lumen",
                "Which lumen",
                Text(40, is_long=False),
                said="lumen",
                hint="Where it has several, name this one, as in “white”.",
            ),
            Field(
                "blood_return",
                "Does blood come back?",
                Word(BLOOD_RETURN),
                begins={"none": ("no-blood-return",)},
                required=True,
                said="blood return",
            ),
            Field(
                "flush",
                "Does fluid go in?",
                Word(FLUSH),
                begins={"blocked": ("line-blocked",)},
                required=True,
                said="flush goes in",
            ),
            NOTE,
            KNOWN_HELD,
        ),
        Form(
            "Blood return and flush",
            "Chart it",
            "Never force a flush. No blood return: nothing that harms tissue is given "
            "until the cause is found.",
            happened="Tested at",
        ),
        takes=_runs,
        uses_line=True,
    ),
)
