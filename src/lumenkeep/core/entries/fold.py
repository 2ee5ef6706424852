"""A line and its child while their entries are taken in: what kinds of entry change."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, tzinfo
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model import Case, Child, Dressing, Finding, InfusionSet, Line
from lumenkeep.core.model.facts import NEVER_CHARTED
from lumenkeep.core.model.signs import FINDING_OF_SIGN, skin_said

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable


@dataclass(frozen=True, slots=True)
class LineState:
    """A line as its entries leave it at one instant.

    Attributes
    ----------
    case
        What the engines are asked about.
    changes
        Instant and reason of each dressing change, oldest first (UTC).
    lengths
        Instant and external length in mm, oldest first; insertion included.
    removed_at
        When the line was taken out; None while it is in.
    signs
        Each sign that is there, with when it was first seen (UTC).
    latest
        What each kind of entry said last, by kind and key: ``latest["patency"]``.
    is_taken_back
        Whether the insertion was charted by mistake and taken back: there is no such
        line. ``removed_at`` is then when it was said to have been put in.
    """

    case: Case
    changes: tuple[tuple[datetime, str], ...]
    lengths: tuple[tuple[datetime, float], ...]
    removed_at: datetime | None
    signs: tuple[tuple[str, datetime], ...] = ()
    latest: Mapping[str, Mapping[str, Any]] = field(default_factory=dict, compare=False)
    is_taken_back: bool = False


@dataclass(slots=True)
class LineFold:
    """A line and its child while their entries are taken in, oldest first.

    Whoever asks about many moments of one line takes each entry once and asks for the
    state in between.

    Attributes
    ----------
    findings
        Found on the dressing that is on.
    signs
        Signs that are there, with when each was first seen.
    lumens
        How each lumen runs, by its name.
    known_since
        Since when each fact that a bar may speak of is as it is (`entries.turns`).
    """

    zone: tzinfo
    child: Child = field(
        default_factory=lambda: Child(sensitivities=NEVER_CHARTED, born=NEVER_CHARTED)
    )
    line: Line = field(default_factory=Line)
    sets: dict[str, InfusionSet] = field(default_factory=dict)
    changes: list[tuple[datetime, str]] = field(default_factory=list)
    lengths: list[tuple[datetime, float]] = field(default_factory=list)
    removed_at: datetime | None = None
    signs: dict[str, datetime] = field(default_factory=dict)
    lumens: dict[str, str] = field(default_factory=dict)
    latest: dict[str, Mapping[str, Any]] = field(default_factory=dict)
    known_since: dict[str, datetime] = field(default_factory=dict)

    def set_fact(self, fact: str, value: Any) -> None:
        """State a fact, named as in a case file: "line.stitches".

        A recurring task that the line has no attribute for is kept by its name.
        """
        of, _, name = fact.partition(".")
        if of == "child":
            self.child = replace(self.child, **{name: value})
        elif name in Line.__slots__:
            self.line = replace(self.line, **{name: value})
        else:
            done = {**dict(self.line.done), name: value}
            self.line = replace(self.line, done=tuple(sorted(done.items())))

    def find(self, findings: Iterable[str], at: datetime) -> None:
        """Add findings to the dressing that is on."""
        before = self.line.dressing.findings
        seen = before if isinstance(before, tuple) else ()
        found = tuple(
            Finding(word, at) for word in findings if word not in _OF_THE_SITE
        )
        worn = replace(self.line.dressing, findings=(*seen, *found))
        self.line = replace(self.line, dressing=worn)

    def see(self, there: Collection[str], gone: Collection[str], at: datetime) -> None:
        """Take in signs that are there, and those that are there no more."""
        for sign in gone:
            self.signs.pop(sign, None)
        for sign in sorted(there):
            self.signs.setdefault(sign, at)
        skin = skin_said(there, gone)
        if skin is not None:
            self.line = replace(self.line, skin_at_site=skin)

    def branch(self) -> LineFold:
        """Return a copy that goes on by itself."""
        return replace(
            self,
            sets=dict(self.sets),
            changes=list(self.changes),
            lengths=list(self.lengths),
            signs=dict(self.signs),
            lumens=dict(self.lumens),
            latest=dict(self.latest),
            known_since=dict(self.known_since),
        )

    def state(self) -> LineState:
        """Return the state so far."""
        line = self.line
        if self.sets:
            sets = tuple(self.sets[name] for name in sorted(self.sets))
            line = replace(line, sets=sets)
        line = replace(line, dressing=self._dressing(line))
        since = tuple(sorted(self.known_since.items()))
        case = Case(child=self.child, line=line, zone=self.zone, known_since=since)
        return LineState(
            case,
            tuple(self.changes),
            tuple(self.lengths),
            self.removed_at,
            tuple(self.signs.items()),
            self.latest,
        )

    def _dressing(self, line: Line) -> Dressing:
        """Return the dressing with what is there under it among its findings."""
        worn = line.dressing
        site: dict[str, datetime] = {}
        for sign, since in self.signs.items():
            word = FINDING_OF_SIGN.get(sign)
            if word is not None:
                site[word] = min(since, site.get(word, since))
        if not site:
            return worn
        before = worn.findings if isinstance(worn.findings, tuple) else ()
        found = (Finding(word, since) for word, since in site.items())
        return replace(worn, findings=(*before, *found))


_OF_THE_SITE = frozenset(FINDING_OF_SIGN.values())
"""Findings that are kept as signs of the site, and outlast the dressing."""
