"""Say whether two names of organisms are the same: match, no match, or ask.

Matching is not transitive: coagulase-negative staphylococci match two species that do
not match each other. So names are judged pair by pair.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.organism_names import (
    AMBIGUOUS,
    GROUPS,
    UNKNOWN,
    VAGUE,
    YEAST,
    OrganismNames,
    Taxon,
)

if TYPE_CHECKING:
    from lumenkeep.core.outcomes.organism_lists import Lists

YES, NO, ASK = "match", "no match", "ask"
EXACTNESS = {"species": 4, "set": 3, "descriptor": 2, "genus": 1}


def matching(a: Taxon, b: Taxon, names: OrganismNames, lists: Lists) -> str:
    """Return "match", "no match" or "ask" for two taxa, in either order.

    A name that identifies nothing, that fits two taxa or that is not known asks; so
    does a genus whose species are partly commensals, and a genus that lost the
    species to another one not long ago.
    """
    if a.name == b.name and a.rank not in (VAGUE, AMBIGUOUS):
        return YES
    if YEAST in (a.rank, b.rank):
        return _yeast(b if a.rank == YEAST else a, names)
    if {a.rank, b.rank} & {VAGUE, AMBIGUOUS, UNKNOWN}:
        return ASK
    less, more = sorted((a, b), key=lambda taxon: EXACTNESS[taxon.rank])
    answer = _under(less, more, names, lists)
    if answer == YES and _hangs_on_list(less, more, lists):
        return ASK
    return answer


def more_exact(a: Taxon, b: Taxon) -> Taxon:
    """Return the one that says more; the first where they say as much."""
    return b if EXACTNESS.get(b.rank, 0) > EXACTNESS.get(a.rank, 0) else a


def _yeast(other: Taxon, names: OrganismNames) -> str:
    if other.rank == YEAST or other.genus in names.yeast_genera:
        return YES
    return ASK if other.genus is None else NO


def _under(less: Taxon, more: Taxon, names: OrganismNames, lists: Lists) -> str:
    if less.rank == "species":
        return NO if less.is_listed and more.is_listed else _two_species(less, more)
    if less.rank == "genus":
        return _genus(less, more, lists)
    if more.rank in GROUPS:
        return _two_groups(less, more, names)
    return _member(less, more)


def _two_species(a: Taxon, b: Taxon) -> str:
    """Two epithets of one genus, one not in the data: it may be another spelling."""
    return ASK if a.genus == b.genus else NO


def _genus(genus: Taxon, more: Taxon, lists: Lists) -> str:
    if genus.name == more.genus:
        return YES
    for one, other in ((genus, more), (more, genus)):
        for earlier, year in other.once:
            is_young = year is None or lists.year - year < lists.two_names_years
            if earlier == one.genus and is_young:
                return ASK
    return NO


def _member(group: Taxon, species: Taxon) -> str:
    if species.name in group.without:
        return NO
    if {species.name, species.genus} & group.holds:
        return YES
    if {species.name, species.genus} & group.perhaps:
        return ASK
    is_near = species.genus == group.genus and not species.is_listed
    return ASK if is_near else NO


def _two_groups(a: Taxon, b: Taxon, names: OrganismNames) -> str:
    first, second = _members(a, names), _members(b, names)
    if not first or not second:
        return ASK if a.genus == b.genus else NO
    if first <= second or second <= first:
        return YES
    everything = (first | a.perhaps) & (second | b.perhaps)
    return ASK if everything else NO


def _members(group: Taxon, names: OrganismNames) -> frozenset[str]:
    found = {
        name
        for name, taxon in names.species.items()
        if taxon.genus in group.holds or name in group.holds
    }
    return frozenset(found - group.without)


def _hangs_on_list(less: Taxon, more: Taxon, lists: Lists) -> bool:
    """Whether the less exact name leaves open what the exact one settles: commensal."""
    return (
        lists.on("common-commensal", less) == ASK
        and lists.on("common-commensal", more) == YES
    )
