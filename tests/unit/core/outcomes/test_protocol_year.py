"""A protocol year holds together, and one that does not is refused."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from lumenkeep.core.outcomes import protocol_year as years
from lumenkeep.core.outcomes.read_protocol import protocol_from_tables
from lumenkeep.errors import InputError

YEAR = years.protocol_year("2025")


@pytest.fixture
def tables() -> dict[str, Any]:
    return copy.deepcopy(years._tables("2025"))


def test_all_thirty_rules_are_there_in_our_own_words() -> None:
    assert set(YEAR.rules) == {f"R{n}" for n in range(1, 31)}
    assert all(rule.text.endswith(".") for rule in YEAR.rules.values())


def test_a_remembered_rule_is_to_be_confirmed_and_a_found_one_not() -> None:
    assert YEAR.rules["R20"].to_confirm
    assert YEAR.rules["R3"].to_confirm == f"R3: {YEAR.rules['R3'].text}"
    assert YEAR.rules["R5"].to_confirm is None


def test_no_organism_is_commensal_and_reviewed_as_pathogen_alike() -> None:
    lists = YEAR.lists
    both = [
        name
        for name, taxon in YEAR.names.species.items()
        if lists.on("common-commensal", taxon) == "match"
        and lists.on("reviewed-pathogen", taxon) == "match"
    ]

    assert both == []


def test_every_species_of_a_year_reads_as_itself() -> None:
    for name, taxon in YEAR.names.species.items():
        assert YEAR.names.taxon(name).name == taxon.name


def test_a_row_without_a_source_is_refused(tables: dict[str, Any]) -> None:
    tables["listed"][0]["sources"] = []

    with pytest.raises(ValueError, match="no source"):
        protocol_from_tables(tables, "2025")


def test_a_name_that_leads_nowhere_is_refused(tables: dict[str, Any]) -> None:
    tables["listed"][0]["take"] = ["Nowhere nobody"]

    with pytest.raises(ValueError, match="names what is not there"):
        protocol_from_tables(tables, "2025")


def test_an_unknown_mark_is_refused(tables: dict[str, Any]) -> None:
    tables["rule"]["R1"]["how"] = "guessed"

    with pytest.raises(ValueError, match="guessed is none of"):
        protocol_from_tables(tables, "2025")


def test_a_limit_without_its_rule_is_refused(tables: dict[str, Any]) -> None:
    tables["limit"]["fever-above"]["rule"] = "R99"

    with pytest.raises(ValueError, match="fever-above lacks"):
        protocol_from_tables(tables, "2025")


def test_a_year_that_is_not_shipped_is_named() -> None:
    with pytest.raises(InputError, match="There is no protocol year '1999'"):
        years.protocol_year("1999")


@pytest.mark.parametrize(
    ("text", "name", "rank"),
    [
        ("K. oxytoca", "Klebsiella oxytoca", "species"),
        ("Staph. aureus", "Staphylococcus aureus", "species"),
        ("ESBL E. coli", "Escherichia coli", "species"),
        ("Escherichia coli (ESBL)", "Escherichia coli", "species"),
        (
            "methicillin-resistant Staphylococcus aureus",
            "Staphylococcus aureus",
            "species",
        ),
        ("Klebsiella pneumoniae subsp. pneumoniae", "Klebsiella pneumoniae", "species"),
        ("light growth of Serratia marcescens", "Serratia marcescens", "species"),
        ("Pichia kudriavzevii (Candida krusei)", "Pichia kudriavzevii", "species"),
        ("Salmonella spp.", "Salmonella", "genus"),
        ("Candida", "Candida", "genus"),
        ("E. cloacae complex", "Enterobacter cloacae complex", "set"),
        ("S. intermedius", "S. intermedius", "ambiguous"),
        ("E. coli (K. oxytoca)", "E. coli (K. oxytoca)", "ambiguous"),
        ("Klebsiela oxitoca", "Klebsiela oxitoca", "unknown"),
        ("", "", "unknown"),
    ],
)
def test_names_are_read_and_never_corrected(text: str, name: str, rank: str) -> None:
    taxon = YEAR.names.taxon(text)

    assert (taxon.name, taxon.rank) == (name, rank)


@pytest.mark.parametrize(
    ("grams", "stratum"),
    [
        (None, None),
        (750, "≤750 g"),
        (751, "751–1000 g"),
        (1000, "751–1000 g"),
        (2500, "1501–2500 g"),
        (2501, ">2500 g"),
    ],
)
def test_birthweight_groups_hold_their_upper_limit(
    grams: float | None, stratum: str | None
) -> None:
    assert YEAR.stratum(grams) == stratum
