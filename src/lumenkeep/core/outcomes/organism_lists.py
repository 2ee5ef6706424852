"""Say which lists of a year an organism is on: yes, no, or ask.

Listing goes by genus, and what stood under a listed genus by an older name stays on it.
An organism on no list is a pathogen only where somebody looked at it; a gap never
turns a commensal into an infection.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from lumenkeep.core.outcomes.organism_names import GROUPS, YEAST, OrganismNames, Taxon

YES, NO, ASK = "match", "no match", "ask"
SETTLED_LISTS = (
    "barred-always", "barred-primary", "urinary-barred", "mucosal-commensal",
    "group-b-streptococcus",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Listed:
    """One row of a list: what it takes, what not, and how sure it is."""

    list: str
    take: frozenset[str]
    excepted: frozenset[str]
    since: int | None
    sure: str
    sources: tuple[str, ...]
    groups: tuple[Taxon, ...]


@dataclass(frozen=True, slots=True)
class Lists:
    """All lists of a year.

    Parameters
    ----------
    rows
        The rows of each list.
    names
        The names that the rows speak of.
    year
        The protocol's year.
    two_names_years
        How long (years) after a renaming two genera may both be meant.
    """

    rows: Mapping[str, tuple[Listed, ...]]
    names: OrganismNames
    year: int
    two_names_years: int
    told: dict[tuple[str, str, str], str] = field(default_factory=dict)

    def on(self, name: str, taxon: Taxon) -> str:
        """Return "match" where ``taxon`` is on the list, "no match", or "ask"."""
        key = (name, taxon.name, taxon.rank)
        found = self.told.get(key)
        if found is None:
            found = self.told[key] = self._on(name, taxon)
        return found

    def role(self, taxon: Taxon) -> str:
        """Return what blood with this organism can be.

        Returns
        -------
        str
            "never", "secondary-only", "commensal", "pathogen" or "ask".
        """
        if self.on("barred-always", taxon) == YES:
            return "never"
        if self.on("barred-primary", taxon) == YES:
            return "secondary-only"
        commensal = self.on("common-commensal", taxon)
        if commensal == YES:
            return "commensal"
        is_looked_at = self.on("reviewed-pathogen", taxon) == YES
        return "pathogen" if is_looked_at and commensal == NO else "ask"

    def _on(self, name: str, taxon: Taxon) -> str:
        rows = self.rows.get(name, ())
        if not taxon.is_identified:
            if any(taxon.rank == YEAST and YEAST in row.take for row in rows):
                return YES
            return NO if name in SETTLED_LISTS and taxon.rank != YEAST else ASK
        if any(row.sure != "unsettled" and _takes(row, taxon) for row in rows):
            return YES
        if any(row.sure == "unsettled" and _takes(row, taxon) for row in rows):
            return ASK
        if name == "common-commensal" and self._is_mixed(taxon):
            return ASK
        return NO

    def _is_mixed(self, taxon: Taxon) -> bool:
        """Whether a name less exact than a species holds commensals and others.

        So does a species that is not in the data, under a genus that is not listed
        as a whole.
        """
        if taxon.rank == "species" and taxon.is_listed:
            return False
        inside = (
            other
            for other in self.names.species.values()
            if other.genus == taxon.genus
            and (taxon.rank not in GROUPS or _may_hold(taxon, other))
        )
        return any(
            _takes(row, other)
            for other in inside
            for row in self.rows.get("common-commensal", ())
        )


def _may_hold(group: Taxon, species: Taxon) -> bool:
    named = {species.name, species.genus}
    inside = group.holds | group.perhaps
    return bool(named & inside) and species.name not in group.without


def _takes(row: Listed, taxon: Taxon) -> bool:
    if taxon.name in row.excepted:
        return False
    if taxon.name in row.take or taxon.genus in row.take:
        return True
    carried = any(
        genus in row.take and row.since is not None and (year or row.since) >= row.since
        for genus, year in taxon.once
    )
    if carried or taxon.rank in GROUPS:
        return carried
    return any(_is_in(group, taxon) for group in row.groups)


def _is_in(group: Taxon, taxon: Taxon) -> bool:
    if taxon.rank == "genus":
        return taxon.name in group.holds and taxon.name not in group.without
    named = {taxon.name, taxon.genus}
    return bool(named & group.holds) and taxon.name not in group.without
