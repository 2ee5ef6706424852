"""One way through what is not known, and how often it had to choose.

What the chart leaves out and what the year's data leaves open is worked once for each
possible answer: a run asks when it meets such a point, takes the answer of its script,
and notes that it did. `runs` walks through all of them.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes import questions
from lumenkeep.core.outcomes.derivation import UnknownFact
from lumenkeep.core.outcomes.organism_names import UNKNOWN, plain
from lumenkeep.core.outcomes.protocol import Protocol

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.core.outcomes.organism_names import Taxon
    from lumenkeep.core.outcomes.timeline import SettledName, Timeline

ROLES = ("commensal", "pathogen", "never")
"""What an organism can be that no list understands; the first is taken first."""
SETTLED_ROLES = {
    "commensal": "commensal",
    "pathogen": "pathogen",
    "not-of-blood": "never",
}


@dataclass(frozen=True, slots=True)
class RunChoice:
    """A question that a run met: the answer it took, of how many."""

    question: UnknownFact
    answer: int
    of: int


@dataclass(slots=True)
class RunWays:
    """One run's way.

    Parameters
    ----------
    protocol
        The year.
    script
        The answers to take, in order of asking; the first one beyond its end.
    born, born_by
        Day of birth; where it is None, the day by which the child was born.
    settled
        What people said of organisms, by plain name.
    """

    protocol: Protocol
    script: tuple[int, ...] = ()
    born: date | None = None
    born_by: date = date.max
    settled: dict[str, str] = field(default_factory=dict)
    born_since: date = date.min
    choices: list[RunChoice] = field(default_factory=list)
    taken: dict[tuple[str, str], int] = field(default_factory=dict)

    def choose(self, question: UnknownFact) -> int:
        """Return the answer that this run takes, the same each time."""
        key = (question.kind, question.about)
        answer = self.taken.get(key)
        if answer is None:
            place = len(self.choices)
            answer = self.script[place] if place < len(self.script) else 0
            self.choices.append(RunChoice(question, answer, len(question.answers)))
            self.taken[key] = answer
        return answer

    def is_born_since(self, day: date, rule: str, why: str) -> bool:
        """Whether the child was born on ``day`` or later."""
        if self.born is not None:
            return self.born >= day
        if self.born_since >= day or self.born_by < day:
            return self.born_since >= day
        is_later = bool(self.choose(questions.birth(day, rule, why)))
        if is_later:
            self.born_since = max(self.born_since, day)
        else:
            self.born_by = min(self.born_by, day - questions.ONE_DAY)
        return is_later

    def taxon(self, text: str) -> Taxon:
        """Return what a laboratory's name means, or what a person said it means."""
        found = self.protocol.names.taxon(text)
        what = self.settled.get(plain(text))
        if what is None or what in SETTLED_ROLES:
            return found
        return self.protocol.names.taxon(what)

    def role(self, taxon: Taxon) -> str:
        """Return "never", "secondary-only", "commensal" or "pathogen"."""
        role = self.protocol.lists.role(taxon)
        if role != "ask":
            return role
        told = SETTLED_ROLES.get(self.settled.get(plain(taxon.name), ""))
        if told is not None:
            return told
        near: tuple[str, ...] = ()
        if taxon.rank == UNKNOWN:
            near = self.protocol.names.near(taxon.name)
        return ROLES[self.choose(questions.organism(taxon, near))]

    def same(self, a: Taxon, b: Taxon) -> bool:
        """Whether two names match."""
        answer = self.protocol.match(a, b)
        if answer == "ask":
            first, second = sorted((a, b), key=lambda taxon: taxon.name)
            return bool(self.choose(questions.same(first, second)))
        return answer == "match"

    def on(self, name: str, taxon: Taxon) -> bool:
        """Whether an organism is on a list."""
        answer = self.protocol.lists.on(name, taxon)
        if answer == "ask":
            return bool(self.choose(questions.listed(name, taxon)))
        return answer == "match"


def way_of(timeline: Timeline, protocol: Protocol, script: tuple[int, ...]) -> RunWays:
    """Return the way through a timeline that takes these answers."""
    return RunWays(
        protocol,
        script,
        born=timeline.born,
        born_by=timeline.earliest,
        settled=_settled(timeline.settled),
    )


def _settled(names: Iterable[SettledName]) -> dict[str, str]:
    return {plain(one.name): one.what for one in names}
