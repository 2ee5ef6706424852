"""Every kind of statement that the files of a set can make, and its name in words.

A comparison says from this list what it laid side by side. A kind that has no name here
was thought of by nobody: it is named as not compared, and a test fails.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.policy.policy import FIELD_OF_KIND
from lumenkeep.core.policy.read import NAMED_TABLES
from lumenkeep.core.policy.read_bounds import BOUND

if TYPE_CHECKING:
    from collections.abc import Iterator

SET, SOURCE, NUMBER, AGENT, LOOSENED = NAMED_TABLES
PROCEDURE, STEP, ITEM, RULE = "procedure", "step", "item", "rule"
SLIP, MOVE, SPARE, SAFE, NEEDED = "slip", "move", "spare", "safe", "needed"
HEAD, KIND = "head", "kind"
OF_PROCEDURES = (
    *(PROCEDURE, STEP, ITEM, RULE, NEEDED, HEAD, KIND),
    *(SAFE, SLIP, MOVE, SPARE),
)

KIND_WORDS = {
    SET: "title, whom to call, and the order in which antiseptics and dressings are tried",
    LOOSENED: "what a set loosens of what every set is held to",
    AGENT: "antiseptics: strength, swabs, times, motion, area, what takes them off",
    NUMBER: "numbers, each with all its days to come",
    "exclude": "what is barred from whom",
    "refer": "when a person must decide",
    "site_rule": "what a site asks for",
    "interval": "how long things stay: dressings, needles, sets, connectors, lines",
    "at_once": "what makes a task due at once",
    "staffing": "people, who does what, and how far around masks are worn",
    "supply": "supplies and their counts",
    "kit": "what lies in the ready kit",
    "note": "cautions, and what to look at",
    "chart": "what is charted",
    "plausible": "what is plausible of an unknown mass",
    "floor": "floors under numbers",
    "sane": "between what numbers can sanely be",
    "require": "requirements",
    "call": "whom to call for which children",
    "weighing": "how long a weighing counts",
    "film": "sizes of film and of the skin cleaned",
    "disagreement": "where published guidance disagrees",
    "length_limit": "limits of the length watch",
    "measuring": "how exactly a length is measured",
    "scale": "scales of findings",
    "concern": "concerns, who acts on them and within what time",
    "round_item": "what a line round looks at",
    "round_plan": "how often a line round looks",
    BOUND: "bounds of the world",
    PROCEDURE: "procedures: how they start and end, their branches, what they reset",
    STEP: "steps of procedures: lost, added, moved, done otherwise",
    ITEM: "items that steps use",
    RULE: "rules of asepsis",
    NEEDED: "steps that no procedure may forget",
    HEAD: "how procedures begin and end, what is asked, and for what they count",
    KIND: "what a procedure is by what it does",
    SAFE: "how a child may be left",
    SLIP: "slips and what is done about them",
    MOVE: "moves of the ways back",
    SPARE: "spares in the room",
    SOURCE: "sources",
}
"""What each kind of statement is about; a kind without words is not compared."""


QUESTION = "question"
WORKED_OUT = {
    QUESTION: "what may be asked of a child or line, and which rules ask it",
}
"""What no file states as such, and follows from several statements together."""


def about(kind: str) -> str:
    """Return what a kind is about, in words."""
    return KIND_WORDS.get(kind) or WORKED_OUT[kind]


def kinds_of_statement() -> tuple[str, ...]:
    """Return every kind that a set's files can hold, as its files name it."""
    return (*NAMED_TABLES, *FIELD_OF_KIND, BOUND, *OF_PROCEDURES)


def compared_kinds() -> Iterator[str]:
    """Yield the kinds that are laid side by side, in the order in which they are told."""
    known = kinds_of_statement()
    yield from (kind for kind in KIND_WORDS if kind in known)
    yield from WORKED_OUT


def kinds_not_compared() -> Iterator[str]:
    """Yield the kinds that nobody compares."""
    yield from (kind for kind in kinds_of_statement() if kind not in KIND_WORDS)
