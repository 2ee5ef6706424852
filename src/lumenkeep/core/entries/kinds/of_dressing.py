"""The dressing and the site: changes, emergency covers, findings, looks."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries.answers import (
    Count,
    Grades,
    Measure,
    Offered,
    Text,
    Word,
    Words,
)
from lumenkeep.core.entries.kind import (
    GUIDED,
    LINE,
    NOTE,
    Field,
    Flaw,
    Form,
    Kind,
    Task,
)
from lumenkeep.core.model import Dressing, words
from lumenkeep.core.model.facts import SAID_UNKNOWN
from lumenkeep.core.model.signs import (
    BROKEN_SKIN,
    CHILD_SIGNS,
    ENDS,
    FINDING_OF_SIGN,
    HEALTHY,
    LINE_SIGNS,
    REPORTED,
    SIGN_OF_SITE_WORD,
    SITE_SIGNS,
    SKIN_SIGNS,
    WELL,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.core.entries.fold import LineFold
    from lumenkeep.core.model.entry import Entry

PLANNED, EARLY = "planned", "early"
REASONS = {PLANNED: "It was due", EARLY: "Early, for another reason", **words.FINDINGS}
SITE_WORDS = {
    HEALTHY: "Healthy",
    "red": "Red",
    "swollen": "Swollen",
    "painful": "Painful",
    "discharge": "Discharge",
    "bleeding": "Bleeding",
    "skin broken": "Skin broken",
}
ARMS = {
    "at the side": "At the side",
    "away from the body": "Away from the body",
    "bent": "Bent",
}
SIGN_OF_FINDING = {word: (word,) for word in words.FINDINGS if word in FINDING_OF_SIGN}
"""Findings on a dressing that are signs of the site under it."""

LENGTH = Field(
    "external_length_mm",
    "External length",
    Measure("mm", "external-length-mm"),
    name="chart-external-length",
    said="external length",
    from_policy="chart-external-length",
    sets="line.external_length_mm",
)
STITCHES = Field(
    "stitches",
    "Number of stitches, 0 if it is held without",
    Count("stitches"),
    name="chart-stitches",
    said="stitches",
    from_policy="chart-stitches",
    sets="line.stitches",
)
ARM = Field(
    "arm",
    "How the arm lay while measuring",
    Word(ARMS, is_free=True),
    name="chart-arm",
    said="arm",
    from_policy="chart-arm",
)
FINDINGS_SEEN = Words(words.FINDINGS)
SIGNS = Field(
    "signs",
    "Seen at the site",
    Words(REPORTED),
    said="",
    is_asked=False,
    begins={sign: (sign,) for sign in REPORTED},
)
"""Signs beside the one word for the site: guides and looks chart them all."""
CAUSE = Field("cause", "Cause", Text(is_long=False), said="cause")
MEASURED = tuple(
    replace(one, name="", from_policy="", is_asked=False) for one in (LENGTH, STITCHES)
)
"""What a guided change had measured before it was stopped."""


def _changed(fold: LineFold, entry: Entry) -> None:
    kind = entry.body.get("dressing") or SAID_UNKNOWN
    worn = Dressing(kind, entry.happened_at, ())
    fold.line = replace(fold.line, dressing=worn)
    because = str(entry.body.get("because") or "")
    fold.changes.append((entry.happened_at, because))


LOOKED_FOR = (
    "signs", "well", "grades", "external_length_mm", "stitches", "arm_girth_mm",
)  # fmt: skip


def _says_something(body: Mapping[str, Any]) -> tuple[Flaw, ...]:
    """Return the fault of a look that says nothing of what was seen."""
    if any(body.get(key) is not None for key in LOOKED_FOR):
        return ()
    mend = "choose what was seen, or that the site is healthy"
    return (("missing", "Nothing is chosen.", "signs", mend),)


def _found(fold: LineFold, entry: Entry) -> None:
    fold.find(entry.body.get("findings") or (), entry.happened_at)


def _covered_for_now(fold: LineFold, entry: Entry) -> None:
    """Take in an emergency cover, which is not aseptic and ages nothing.

    Whatever was found, the dressing has come off: it counts as loose.
    """
    found = dict.fromkeys((*(entry.body.get("findings") or ()), "loose"))
    fold.find(tuple(found), entry.happened_at)


OF_DRESSING = (
    Kind(
        "dressing-change",
        "Dressing changed",
        LINE,
        (
            Field(
                "because",
                "Why it was changed",
                Word(REASONS),
                said="because",
            ),
            Field(
                "findings",
                "Found on the old dressing",
                FINDINGS_SEEN,
                said="found on the old dressing",
                is_asked=False,
                begins=SIGN_OF_FINDING,
            ),
            Field(
                "agent",
                "Antiseptic used",
                Offered("agents"),
                required=True,
                said="",
            ),
            Field(
                "dressing",
                "New dressing",
                Word(words.DRESSINGS, is_long=True),
                required=True,
                said="",
            ),
            Field(
                "site",
                "Condition of the site, the weightiest that applies",
                Word(SITE_WORDS, is_free=True),
                name="chart-site",
                said="site",
                from_policy="chart-site",
                begins={w: (sign,) for w, sign in SIGN_OF_SITE_WORD.items()},
                ends={HEALTHY: ENDS[HEALTHY]},
            ),
            SIGNS,
            Field(
                "skin",
                "Skin at the site",
                Word(words.SKIN),
                said="skin",
                begins={"broken": ("skin-broken",)},
                ends={"intact": BROKEN_SKIN},
            ),
            LENGTH,
            STITCHES,
            ARM,
            Field(
                "tolerance",
                "How the child bore it",
                Text(is_long=False),
                name="chart-tolerance",
                from_policy="chart-tolerance",
            ),
            Field(
                "problems",
                "Problems",
                Text(),
                name="chart-problems",
                from_policy="chart-problems",
            ),
            Field(
                "action",
                "What was done about them",
                Text(),
                name="chart-action",
                from_policy="chart-action",
            ),
            Field(
                "outcome",
                "Outcome",
                Text(),
                name="chart-outcome",
                from_policy="chart-outcome",
            ),
            Field("assistant", "Second person", Offered("staff"), is_shown=False),
            *GUIDED,
        ),
        Form(
            "Chart a dressing change",
            "Chart this change",
            happened="Date and time of the change",
            happened_name="chart-changed-at",
            is_time_first=True,
        ),
        takes=_changed,
        is_look=True,
        uses_line=True,
    ),
    Kind(
        "re-cover",
        "Covered in an emergency",
        LINE,
        (
            Field(
                "findings",
                "Found on the old dressing",
                FINDINGS_SEEN,
                required=True,
                said="",
                begins=SIGN_OF_FINDING,
            ),
            SIGNS,
            CAUSE,
            *MEASURED,
            NOTE,
            *GUIDED,
        ),
        Form(
            "Chart an emergency cover",
            "Chart it",
            "A cover is no aseptic change: the dressing stays due.",
            happened="Covered at",
            happened_name="found-at",
        ),
        takes=_covered_for_now,
        is_look=True,
    ),
    Kind(
        "finding",
        "Finding on the dressing",
        LINE,
        (
            Field(
                "findings",
                "Found",
                FINDINGS_SEEN,
                required=True,
                said="",
                begins=SIGN_OF_FINDING,
            ),
            replace(CAUSE, is_asked=False),
            *MEASURED,
            NOTE,
            *GUIDED,
        ),
        Form(
            "Chart a finding on the dressing",
            "Chart it",
            happened="Found at",
            happened_name="found-at",
        ),
        takes=_found,
        is_look=True,
    ),
    Kind(
        "site-check",
        "Site looked at",
        LINE,
        (
            Field(
                "signs",
                "Seen",
                Words(
                    REPORTED,
                    (HEALTHY, "Healthy: nothing of all this"),
                    groups=(
                        ("signs-site", "The site", SITE_SIGNS),
                        ("signs-skin", "The skin around it", SKIN_SIGNS),
                        ("signs-line", "The line", LINE_SIGNS),
                        ("signs-child", "The child", CHILD_SIGNS),
                    ),
                ),
                name="signs-site",
                said="",
                begins={sign: (sign,) for sign in REPORTED},
                ends={HEALTHY: tuple(REPORTED)},
            ),
            Field(
                "well",
                "Good again",
                Words(WELL),
                name="signs-well",
                said="",
                ends={word: ENDS[word] for word in WELL},
            ),
            Field("grades", "Grade", Grades(), name="grade", said=""),
            LENGTH,
            STITCHES,
            ARM,
            Field(
                "arm_girth_mm",
                "Around the arm",
                Measure("mm", "arm-girth-mm"),
                name="arm-girth",
                said="around the arm",
            ),
            NOTE,
        ),
        Form(
            "Look at the site",
            "Chart this look",
            "Look, and feel through the dressing. What is not named stays as it was "
            "charted last; a sign ends only when you say so.",
            happened="Looked at",
            happened_name="looked-at",
        ),
        task=Task(
            "site-check", "Look at the site", "line.inspected", "the site is looked at"
        ),
        is_look=True,
        check=_says_something,
    ),
)
