"""One year of the surveillance protocol: its rules, limits, words and lists.

A year is data; what its rules mean is code in this package. The reading of a year's
tables is in `read_protocol`, where the files lie in `protocol_year`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from lumenkeep.core.outcomes.organism_lists import Lists
from lumenkeep.core.outcomes.organism_match import matching
from lumenkeep.core.outcomes.organism_names import OrganismNames, Taxon


@dataclass(frozen=True, slots=True)
class ProtocolRule:
    """A rule in our own words, and how it is known.

    ``how`` is "found", "partly" or "memory"; ``confirm`` says what of it must be laid
    beside the edition in force.
    """

    id: str
    text: str
    how: str
    sources: tuple[str, ...]
    confirm: str | None

    @property
    def to_confirm(self) -> str | None:
        """What is to be confirmed against the edition in force; None where nothing."""
        if self.how == "found" or (self.how == "partly" and self.confirm is None):
            return None
        return f"{self.id}: {self.confirm or self.text}"


@dataclass(frozen=True, slots=True)
class Protocol:
    """A protocol year.

    Parameters
    ----------
    year
        As text, as a timeline names it.
    rules
        By id, R1 to R30.
    limits
        Numbers by name; their units stand in the year's data.
    words
        Closed lists of words by name: kinds of line, of infection, of sign.
    strata_g
        Upper limits (g, included) of the birthweight groups, rising.
    names, lists
        The organisms.
    """

    year: str
    rules: Mapping[str, ProtocolRule]
    limits: Mapping[str, float]
    words: Mapping[str, frozenset[str]]
    strata_g: tuple[int, ...]
    names: OrganismNames
    lists: Lists

    def days(self, limit: str) -> timedelta:
        """Return a limit as so many calendar days."""
        return timedelta(days=int(self.limits[limit]))

    def count(self, limit: str) -> int:
        """Return a limit as a whole number."""
        return int(self.limits[limit])

    def window(self, test_on: date) -> tuple[date, date]:
        """Return first and last day of the infection window round a test."""
        return test_on - self.days("window-before"), test_on + self.days("window-after")

    def repeat(self, event_on: date) -> tuple[date, date]:
        """Return first and last day of the repeat timeframe of an event."""
        return event_on, event_on + self.days("repeat-length") - timedelta(days=1)

    def match(self, a: Taxon, b: Taxon) -> str:
        """Return "match", "no match" or "ask" for two organisms."""
        return matching(a, b, self.names, self.lists)

    def stratum(self, birthweight_g: float | None) -> str | None:
        """Return the birthweight group; None where the birthweight is not known."""
        if birthweight_g is None:
            return None
        below = None
        for upper in self.strata_g:
            if birthweight_g <= upper:
                return f"≤{upper} g" if below is None else f"{below + 1}–{upper} g"
            below = upper
        return f">{below} g"
