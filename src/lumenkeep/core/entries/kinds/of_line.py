"""The line itself: put in, still needed or not, where its tip lies, out."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries.answers import Count, Measure, Text, Word, YesNo
from lumenkeep.core.entries.kind import (
    GUIDED,
    KNOWN_HELD,
    LINE,
    NOTE,
    Field,
    Flaw,
    Form,
    Kind,
    Task,
)
from lumenkeep.core.entries.kinds.of_dressing import ARM, SIGNS
from lumenkeep.core.model import Dressing, words
from lumenkeep.core.model.facts import NEVER_CHARTED, SAID_UNKNOWN
from lumenkeep.core.model.infection_words import ACCESS, TIPS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.core.entries.fold import LineFold
    from lumenkeep.core.model.entry import Entry

SIDES = {"left": "Left", "right": "Right"}
TIP_CHECKS = {
    "x-ray": "X-ray",
    "ultrasound": "Ultrasound",
    "ecg": "ECG",
    "other": "Another way",
}
UMBILICAL = "umbilical"
REASONS_OUT = {
    "not-needed": "No longer needed",
    "infection": "Infection, proved or feared",
    "blocked": "Blocked",
    "moved": "Moved, or came out",
    "broken": "Broken",
    "clot": "Clot",
    "other": "Another reason",
}


def _inserted(fold: LineFold, entry: Entry) -> None:
    body, at = entry.body, entry.happened_at
    worn = body.get("dressing")
    bare = Dressing(NEVER_CHARTED, NEVER_CHARTED, ())
    length, stitches = body.get("external_length_mm"), body.get("stitches")
    fold.line = replace(
        fold.line,
        dressing=Dressing(worn, at, ()) if worn else bare,
        kind=body.get("kind") or SAID_UNKNOWN,
        site=body.get("site") or SAID_UNKNOWN,
        inserted=at,
        lumens=body.get("lumens") or SAID_UNKNOWN,
        external_length_mm=SAID_UNKNOWN if length is None else length,
        stitches=SAID_UNKNOWN if stitches is None else stitches,
    )


def _used_or_not(fold: LineFold, entry: Entry) -> None:
    """Take in whether the line is used; whatever hung on one that is not is down."""
    if entry.body.get("in_use") is False:
        fold.sets.clear()
        fold.line = replace(fold.line, sets=())


def _removed(fold: LineFold, entry: Entry) -> None:
    fold.removed_at = entry.happened_at


def _right_place(body: Mapping[str, Any]) -> tuple[Flaw, ...]:
    """Return the fault of an umbilical line elsewhere, or of another one there."""
    kind, site = body.get("kind"), body.get("site")
    if kind is None or site is None:
        return ()
    if str(kind).startswith(UMBILICAL) == (site == UMBILICAL):
        return ()
    return (
        (
            "contradiction",
            "An umbilical line goes in at the umbilicus, and no other line does.",
            "site",
            "choose the kind or the site again",
        ),
    )


OF_LINE = (
    Kind(
        "line-inserted",
        "Line put in",
        LINE,
        (
            Field(
                "kind",
                "Kind of line",
                Word(words.LINE_KINDS, is_long=True),
                required=True,
                said="",
            ),
            Field(
                "site", "Where it goes in", Word(words.SITES, is_long=True), said="site"
            ),
            Field("side", "Side", Word(SIDES), said=""),
            Field(
                "tunnelled",
                "Does it run under the skin before it enters the vein?",
                YesNo(),
                said="tunnelled:",
                hint="Of a haemodialysis line only: the other kinds say it.",
                asked_of=("haemodialysis",),
                sets="line.tunnelled",
            ),
            Field("lumens", "Lumens", Count("lumens"), said="lumens"),
            Field(
                "external_length_mm",
                "Length outside the skin",
                Measure("mm", "external-length-mm"),
                name="external-length-mm",
                said="external length",
                hint="The first length is what every later one is compared with.",
            ),
            replace(
                ARM,
                hint="Of a line in the upper arm only; later lengths are compared "
                "with the arm alike.",
                only_with=("site", "upper-arm"),
            ),
            Field(
                "stitches",
                "Stitches",
                Count("stitches"),
                said="stitches",
                hint="0 where it is held without.",
            ),
            Field(
                "dressing",
                "Dressing put on",
                Word(words.DRESSINGS, is_long=True),
                said="",
            ),
        ),
        Form(
            "A line new on the chart",
            "Chart this line",
            "What is not known is left out; the plan asks for it when it matters.",
            happened="Put in at",
            happened_name="inserted-at",
            is_time_needed=True,
            is_time_first=True,
        ),
        takes=_inserted,
        check=_right_place,
    ),
    Kind(
        "line-review",
        "Asked whether the line is still needed",
        LINE,
        (
            Field(
                "needed",
                "Is the line still needed?",
                YesNo(),
                name="still-needed",
                required=True,
                said="still needed:",
            ),
            NOTE,
        ),
        Form("Is the line still needed?", "Chart it", happened="Done at"),
        task=Task(
            "line-review",
            "Is the line still needed?",
            "line.reviewed",
            "whether the line is still needed is asked",
        ),
    ),
    Kind(
        "line-use",
        "Line in use or not",
        LINE,
        (
            Field(
                "in_use",
                "Does anything run, or is anything given through it?",
                YesNo(),
                required=True,
                said="in use:",
                sets="line.in_use",
            ),
            NOTE,
        ),
        Form(
            "Is the line in use?",
            "Chart it",
            "Sets that hang on a line that is not in use are charted as taken down.",
            happened="Since",
        ),
        takes=_used_or_not,
    ),
    Kind(
        "line-tip",
        "Where the tip lies",
        LINE,
        (
            Field("tip", "The tip lies", Word(TIPS), required=True, said=""),
            Field("how", "How it was checked", Word(TIP_CHECKS), said="by"),
            Field(
                "where",
                "In which vessel, at which height",
                Text(80, is_long=False),
                said="",
            ),
            NOTE,
        ),
        Form(
            "Chart where the tip lies",
            "Chart it",
            "As the film or the scan shows it. Once in a great vessel, the line stays "
            "a central line until it is out.",
            happened="Seen at",
            happened_name="at",
        ),
    ),
    Kind(
        "line-access",
        "Line used",
        LINE,
        (
            Field("for", "What for", Word(ACCESS), required=True, said=""),
            NOTE,
            KNOWN_HELD,
        ),
        Form(
            "Chart whether the line was used",
            "Chart it",
            "The first use in this stay is what counts. Not used so far counts too.",
            happened="Used at",
            happened_name="at",
        ),
        uses_line=True,
    ),
    Kind(
        "line-removed",
        "Line taken out",
        LINE,
        (
            Field(
                "reason",
                "Why",
                Word(REASONS_OUT, is_free=True, is_said=True),
                required=True,
                said="reason",
            ),
            Field(
                "whole",
                "Is the line whole, tip and all?",
                YesNo(("not-looked", "Not looked at")),
                name="tip",
                required=True,
                said="whole:",
            ),
            SIGNS,
            NOTE,
            *GUIDED,
        ),
        Form(
            "Chart that the line is out",
            "Chart that it is out",
            "For a line that is out already. To take one out, open its guide.",
            happened="Out at",
            happened_name="out-at",
            is_time_needed=True,
        ),
        takes=_removed,
    ),
)
