"""Build the names of a year from its tables."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.outcomes.organism_names import (
    AMBIGUOUS,
    VAGUE,
    YEAST,
    OrganismNames,
    Taxon,
    plain,
)

if TYPE_CHECKING:
    from collections.abc import Mapping


def names_from_tables(tables: Mapping[str, Any]) -> OrganismNames:
    """Return all names of a year.

    Parameters
    ----------
    tables
        ``genera``, ``split``, ``renamed``, ``group``, ``vague``, ``spellings`` and
        ``ambiguous`` of the year's taxa.

    Raises
    ------
    KeyError
        A spelling or renaming leads to a name that is not there.
    """
    genera = {name: _genus(name, tables["split"]) for name in tables["genera"]}
    species = _species(tables, genera)
    groups = {row["name"]: _group(row) for row in tables["group"]}
    spellings: dict[str, Taxon] = {plain(name): t for name, t in species.items()}
    spellings |= {
        plain(f"{genus} {taxon.name.split()[1]}"): taxon
        for taxon in species.values()
        for genus, _ in taxon.once
    }
    spellings |= {plain(old): species[new] for old, new in _renamed(tables)}
    spellings |= {
        plain(text): groups[row["name"]]
        for row in tables["group"]
        for text in (row["name"], *row["spellings"])
    }
    spellings |= _vague(tables["vague"])
    spellings |= {
        plain(text): species.get(name) or genera[name]
        for text, name in tables["spellings"].items()
    }
    spellings |= {
        plain(text): Taxon(text, AMBIGUOUS, perhaps=frozenset(names))
        for text, names in tables["ambiguous"].items()
    }
    return OrganismNames(
        species=species,
        genera=genera,
        groups=groups,
        spellings=spellings,
        by_epithet=_by_epithet(species, tables),
        yeast_genera=frozenset(tables["vague"]["yeast_genera"]),
    )


def _genus(name: str, split: Mapping[str, Any]) -> Taxon:
    row = split.get(name)
    once = ((row["from"], row.get("year")),) if row else ()
    return Taxon(name, "genus", name, once)


def _renamed(tables: Mapping[str, Any]) -> list[tuple[str, str]]:
    return [(old, row["now"]) for old, row in tables["renamed"].items()]


def _species(
    tables: Mapping[str, Any], genera: Mapping[str, Taxon]
) -> dict[str, Taxon]:
    once: dict[str, list[tuple[str, int | None]]] = {}
    for old, row in tables["renamed"].items():
        genus = old.split()[0]
        if genus != row["now"].split()[0]:
            once.setdefault(row["now"], []).append((genus, row.get("year")))
    found = {}
    for genus, epithets in tables["genera"].items():
        for epithet in epithets:
            name = f"{genus} {epithet}"
            earlier = (*genera[genus].once, *once.get(name, ()))
            found[name] = Taxon(name, "species", genus, earlier)
    return found


def _group(row: Mapping[str, Any]) -> Taxon:
    return Taxon(
        row["name"],
        row["rank"],
        row["genus"],
        holds=frozenset(row["holds"]),
        perhaps=frozenset(row["perhaps"]),
        without=frozenset(row.get("except", ())),
    )


def _vague(row: Mapping[str, Any]) -> dict[str, Taxon]:
    no_identification = {
        plain(text): Taxon(text, VAGUE)
        for text in (*row["above"], *row["stain"], *row["special"])
    }
    return no_identification | {
        plain(text): Taxon("yeast", YEAST) for text in row["yeast"]
    }


def _by_epithet(
    species: Mapping[str, Taxon], tables: Mapping[str, Any]
) -> dict[str, tuple[tuple[str, Taxon], ...]]:
    found: dict[str, list[tuple[str, Taxon]]] = {}
    for name, taxon in species.items():
        found.setdefault(name.split()[1], []).append((name, taxon))
    for old, new in _renamed(tables):
        found.setdefault(old.split()[1], []).append((old, species[new]))
    # "Bacillus megaterium" reads as what Priestia holds: the older genus still names it.
    for taxon in species.values():
        for genus, _ in taxon.once:
            epithet = taxon.name.split()[1]
            found[epithet].append((f"{genus} {epithet}", taxon))
    return {epithet: tuple(rows) for epithet, rows in found.items()}
