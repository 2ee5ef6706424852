"""Points the year's data leaves open, each worked one way and the other.

Whether an organism is a commensal, whether two names match, whether one is on the
intestinal list: where the data asks, a run takes one side and notes that it did, and
`determine` compares the runs.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from lumenkeep.outcomes.protocol import Protocol

if TYPE_CHECKING:
    from lumenkeep.outcomes.organism_names import Taxon

COMMENSAL, SAME, INTESTINAL = "commensal", "same", "intestinal"
QUESTIONS = {
    COMMENSAL: ("R18", "whether this counts as a common commensal: "),
    SAME: ("R19", "whether these are the same organism: "),
    INTESTINAL: ("R20", "whether this is on the intestinal list: "),
}
ANSWERS = {
    COMMENSAL: ("it counted as a common commensal", "it counted as a pathogen"),
    SAME: ("the names were the same organism", "the names were two organisms"),
    INTESTINAL: (
        "it were on the intestinal list",
        "it were not on the intestinal list",
    ),
}
"""Each kind of question answered with yes, and with no."""


@dataclass(slots=True)
class Ways:
    """One way through the open points, and which of them were met.

    ``yes`` holds the kinds of question that this run answers with yes.
    """

    protocol: Protocol
    yes: frozenset[str] = frozenset({COMMENSAL})
    asked: dict[str, set[str]] = field(default_factory=dict)

    def role(self, taxon: Taxon) -> str:
        """Return "never", "secondary-only", "commensal" or "pathogen"."""
        role = self.protocol.lists.role(taxon)
        if role != "ask":
            return role
        is_commensal = self._ask(COMMENSAL, taxon.name)
        return "commensal" if is_commensal else "pathogen"

    def same(self, a: Taxon, b: Taxon) -> bool:
        """Whether two names match."""
        answer = self.protocol.match(a, b)
        if answer == "ask":
            return self._ask(SAME, f"{a.name} and {b.name}")
        return answer == "match"

    def on(self, name: str, taxon: Taxon) -> bool:
        """Whether an organism is on a list."""
        answer = self.protocol.lists.on(name, taxon)
        if answer == "ask":
            return self._ask(INTESTINAL, taxon.name)
        return answer == "match"

    def _ask(self, kind: str, about: str) -> bool:
        self.asked.setdefault(kind, set()).add(about)
        return kind in self.yes
