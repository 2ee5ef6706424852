"""Build a protocol year from its tables, and refuse one that does not hold together."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.outcomes.organism_lists import Listed, Lists
from lumenkeep.core.outcomes.organism_names import YEAST
from lumenkeep.core.outcomes.protocol import Protocol, ProtocolRule
from lumenkeep.core.outcomes.read_names import names_from_tables

if TYPE_CHECKING:
    from collections.abc import Mapping

SURE = ("seen", "not-checked", "derived", "unsettled")
HOW = ("found", "partly", "memory")


def protocol_from_tables(tables: Mapping[str, Any], year: str) -> Protocol:
    """Return a protocol year.

    Parameters
    ----------
    tables
        Everything the year's files hold, joined.
    year
        What the year is called.

    Raises
    ------
    ValueError
        A rule or list row without a source, a name that leads nowhere, a word that
        is not known: the year is shipped with the program, so this is a slip of ours
        and a test finds it.
    """
    names = names_from_tables(tables)
    rules = {
        key: ProtocolRule(
            key,
            row["text"],
            _one_of(row["how"], HOW),
            _sourced(row["sources"], tables),
            row.get("confirm"),
        )
        for key, row in tables["rule"].items()
    }
    limits = {key: float(row["value"]) for key, row in tables["limit"].items()}
    for key, row in tables["limit"].items():
        if row["rule"] not in rules or not row["unit"]:
            raise ValueError(f"limit {key} lacks its rule or its unit")
    words = {
        key: frozenset([value] if isinstance(value, str) else value)
        for key, value in tables["words"].items()
    }
    rows: dict[str, list[Listed]] = {}
    for row in tables["listed"]:
        listed = _listed(row, tables, names.named)
        rows.setdefault(listed.list, []).append(listed)
    lists = Lists(
        {name: tuple(found) for name, found in rows.items()},
        names,
        int(year),
        int(limits["two-names-years"]),
    )
    strata = tuple(tables["birthweight"]["upper_g"])
    return Protocol(year, rules, limits, words, strata, names, lists)


def _listed(row: Mapping[str, Any], tables: Mapping[str, Any], named: Any) -> Listed:
    names = {*row["take"], *row.get("except", ())} - {YEAST}
    taxa = {name: named(name) for name in names}
    lost = [name for name, taxon in taxa.items() if taxon is None]
    if lost:
        raise ValueError(f"{row['list']} names what is not there: {lost}")
    groups = tuple(taxon for taxon in taxa.values() if taxon.holds)
    return Listed(
        row["list"],
        frozenset(row["take"]),
        frozenset(row.get("except", ())),
        row.get("since"),
        _one_of(row["sure"], SURE),
        _sourced(row["sources"], tables),
        groups,
    )


def _one_of(word: str, allowed: tuple[str, ...]) -> str:
    if word not in allowed:
        raise ValueError(f"{word} is none of {allowed}")
    return word


def _sourced(sources: list[str], tables: Mapping[str, Any]) -> tuple[str, ...]:
    lost = [source for source in sources if source not in tables["source"]]
    if lost or not sources:
        raise ValueError(f"no such source: {lost}" if lost else "a row has no source")
    return tuple(sources)
