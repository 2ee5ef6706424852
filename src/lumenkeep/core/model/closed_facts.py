"""Facts of the child and the line that are answered from a closed list, each said once.

Whose a fact is, its answers, what it is called, how it is asked for and where it is
charted stand here. What rules may speak of, the reading of a case and its schema, the
situation, since when a fact is so, the children of a proof, and the words on a page
are computed from here. What it is kept in is an attribute of `Child` or `Line`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cached_property
from typing import Any, TypeAlias

from lumenkeep.core.model import words
from lumenkeep.core.model.case import Child, Line
from lumenkeep.core.model.facts import Fact, Unknown

Table: TypeAlias = type[Child] | type[Line]


@dataclass(frozen=True)
class ClosedFact:
    """One fact of a closed list of answers.

    Parameters
    ----------
    name
        As rules name it.
    whose
        `Child` or `Line`. Both: said of every site of the child, until it is said of
        the line's own.
    label
        Its plain name, as in "line in use".
    answers
        Each answer and what it is called; `words.YES_NO` for a yes or no.
    ask
        The question that would settle it.
    says
        What a case file's key means, once for each of ``whose``.
    usual
        Its answer on an ordinary line or child.
    charted_in
        Kind of the entry that states it.
    key
        Its attribute and its key in a case file; the name where left out.
    plain
        Its answer where nothing is special, which an example states unasked; None
        where an example says nothing of it unless something hangs on it.
    short
        Its name before an answer, as in "skin: broken"; the label where left out.
    phrases
        Of a yes or no: what a policy in sentences says for yes, and for no; label and
        answer where left out. The child is the unspoken subject of its own facts.
    """

    name: str
    whose: tuple[Table, ...]
    label: str
    answers: Mapping[str, str]
    ask: str
    says: tuple[str, ...]
    usual: str
    charted_in: str
    key: str = ""
    plain: str | None = None
    short: str = ""
    phrases: tuple[str, str] | None = None

    @cached_property
    def attribute(self) -> str:
        """Its attribute of `Child` or `Line`, and its key in a case file."""
        return self.key or self.name

    @property
    def is_yes_no(self) -> bool:
        """Whether it is a yes or no, which a case holds as a truth."""
        return self.answers is words.YES_NO

    def value(self, child: Child, line: Line) -> Fact[Any]:
        """Return what is known of it: the line's own before what the child's says."""
        own: Fact[Any] = getattr(
            line if self.whose[-1] is Line else child, self.attribute
        )
        if isinstance(own, Unknown) and self.whose[0] is Child:
            own = getattr(child, self.attribute)
        return own

    def answer(self, child: Child, line: Line) -> str | None:
        """Return its answer as rules compare it; None where it is unknown."""
        found = self.value(child, line)
        if isinstance(found, Unknown):
            return None
        if found is True:
            return "yes"
        return "no" if found is False else str(found)

    def phrase(self, *, is_yes: bool) -> str:
        """Return what a policy in sentences says where a yes or no is so."""
        if self.phrases is None:
            return f"{self.label}: {'yes' if is_yes else 'no'}"
        return self.phrases[0 if is_yes else 1]

    def written(self, answer: str) -> str | bool:
        """Return an answer as a case holds it."""
        return answer == "yes" if self.is_yes_no else answer


CLOSED_FACTS = (
    ClosedFact(
        "skin_at_site",
        (Child, Line),
        "skin at the site",
        words.SKIN,
        "Is the skin at the site whole?",
        ("Skin at the insertion site.", "Skin where this line goes in."),
        usual="intact",
        charted_in="skin",
        plain="intact",
        short="skin",
    ),
    ClosedFact(
        "site",
        (Line,),
        "site",
        words.SITES,
        "Where does the line enter?",
        ("Where it enters.",),
        usual="upper-arm",
        charted_in="line-inserted",
        plain="chest",
    ),
    ClosedFact(
        "line_kind",
        (Line,),
        "kind of line",
        words.LINE_KINDS,
        "What kind of line is it?",
        ("Kind of line.",),
        usual="picc",
        charted_in="line-inserted",
        key="kind",
        plain="tunnelled",
        short="line",
    ),
    ClosedFact(
        "unit",
        (Child,),
        "kind of unit",
        words.UNITS,
        "On what kind of unit does the child lie?",
        ("Kind of unit the child lies in.",),
        usual="ward",
        charted_in="stay",
        plain="ward",
        short="unit",
    ),
    ClosedFact(
        "needle_in",
        (Line,),
        "needle in the port",
        words.YES_NO,
        "Is a needle in the port?",
        ("Whether a port has a needle in it.",),
        usual="no",
        charted_in="needle-change",
        phrases=("a needle is in the port", "no needle is in the port"),
    ),
    ClosedFact(
        "in_use",
        (Line,),
        "line in use",
        words.YES_NO,
        "Does anything run through the line, or is anything given through it?",
        ("Whether anything runs or is given through it.",),
        usual="yes",
        charted_in="line-use",
        phrases=("the line is in use", "the line is not in use"),
    ),
    ClosedFact(
        "tunnelled",
        (Line,),
        "line tunnelled",
        words.YES_NO,
        "Does the line run under the skin before it enters the vein?",
        ("Whether a haemodialysis line is tunnelled.",),
        usual="no",
        charted_in="line-inserted",
        phrases=("the line is tunnelled", "the line is not tunnelled"),
    ),
    ClosedFact(
        "patency",
        (Line,),
        "how the line runs",
        words.PATENCY,
        "Does blood come back, and does fluid go in easily?",
        ("How the worst of its lumens runs.",),
        usual="open",
        charted_in="patency",
    ),
)
"""Every such fact, in the order in which proofs and questions take them."""


def stated_in(table: Table) -> tuple[ClosedFact, ...]:
    """Return the facts that a table of a case may state, in the order of its keys."""
    order = [one.name for one in fields(table)]
    found = [fact for fact in CLOSED_FACTS if table in fact.whose]
    return tuple(sorted(found, key=lambda fact: order.index(fact.attribute)))


def stated_once_in(table: Table) -> tuple[ClosedFact, ...]:
    """Return the same, each fact in one table only: of both it is the child's."""
    return tuple(fact for fact in stated_in(table) if fact.whose[0] is table)
