"""Pairs of organism names: do they match? Both ways round; M1 to M12.

Marks: matching levels are remembered, the rest derived from renamings that were read;
see the sources of the protocol year.
"""

from __future__ import annotations

import pytest

from lumenkeep.core.outcomes.protocol_year import protocol_year

pytestmark = pytest.mark.external

PROTOCOL = protocol_year("2025")
PAIRS = [
    ("Staphylococcus epidermidis", "Staphylococcus epidermidis", "match"),  # 1: M1 M6
    ("Staphylococcus epidermidis", "Staphylococcus hominis", "no match"),  # 2: M1
    (
        "Coagulase-negative staphylococci",
        "Staphylococcus epidermidis",
        "match",
    ),  # 3: M3
    ("CoNS", "CoNS", "match"),  # 4: M3
    ("CoNS", "Staphylococcus aureus", "no match"),  # 5: M3
    ("CoNS", "Staphylococcus lugdunensis", "ask"),  # 6: 1c
    ("CoNS", "Staphylococcus sciuri", "match"),  # 7: M3 M7
    ("Staphylococcus sp.", "Staphylococcus epidermidis", "ask"),  # 8: M2 matches
    ("Staphylococcus sp.", "Staphylococcus aureus", "match"),  # 9: M2
    ("MRSA", "Staphylococcus aureus", "match"),  # 10: M6
    ("S. intermedius", "Streptococcus anginosus", "ask"),  # 11: M12
    ("Viridans group streptococci", "Streptococcus salivarius", "match"),  # 12: M3
    ("Streptococcus viridans", "Streptococcus anginosus", "match"),  # 13: M3
    ("Viridans group streptococci", "Streptococcus pneumoniae", "no match"),  # 14: M3
    ("Viridans group streptococci", "Streptococcus gallolyticus", "ask"),  # 15: 1c
    ("Viridans group streptococci", "Aerococcus viridans", "no match"),  # 16: M3
    ("Streptococcus mitis/oralis", "Streptococcus oralis", "match"),  # 17: M9
    ("Streptococcus mitis", "Streptococcus oralis", "no match"),  # 18: M1
    ("alpha-haemolytic Streptococcus", "Streptococcus pneumoniae", "ask"),  # 19: M12
    ("GBS", "Streptococcus agalactiae", "match"),  # 20: M7
    ("VRE", "Enterococcus faecium", "match"),  # 21: M2 M6
    ("Enterococcus faecalis", "Enterococcus faecium", "no match"),  # 22: M1
    ("diphtheroids", "Corynebacterium striatum", "match"),  # 23: M3
    ("Bacillus sp.", "Bacillus cereus", "match"),  # 24: M2
    ("Bacillus sp., not anthracis", "Bacillus anthracis", "no match"),  # 25: M10
    ("Bacillus sp.", "Priestia megaterium", "ask"),  # 26: M8
    ("Propionibacterium acnes", "Cutibacterium acnes", "match"),  # 27: M7
    ("Propionibacterium sp.", "Cutibacterium acnes", "ask"),  # 28: M8
    ("Micrococcus sp.", "Kocuria kristinae", "no match"),  # 29: M2
    ("Enterobacter aerogenes", "Klebsiella aerogenes", "match"),  # 30: M7
    ("Enterobacter sp.", "Klebsiella aerogenes", "ask"),  # 31: M8
    ("Enterobacter cloacae complex", "Enterobacter hormaechei", "match"),  # 32: M9
    ("Enterobacter cloacae", "Enterobacter hormaechei", "no match"),  # 33: M1
    ("ESBL Escherichia coli", "Escherichia coli", "match"),  # 34: M6
    ("coliform", "Escherichia coli", "ask"),  # 35: M5
    ("CRE", "Klebsiella pneumoniae", "ask"),  # 36: M5
    ("Gram-positive cocci in clusters", "Staphylococcus epidermidis", "ask"),  # 37: M5
    (
        "Pseudomonas sp., not aeruginosa",
        "Pseudomonas aeruginosa",
        "no match",
    ),  # 38: M10
    ("Acinetobacter baumannii complex", "Acinetobacter lwoffii", "no match"),  # 39: M9
    ("Bacteroides fragilis group", "Parabacteroides distasonis", "ask"),  # 40: M9
    ("Candida glabrata", "Nakaseomyces glabratus", "match"),  # 41: M7
    ("Candida sp.", "Candida albicans", "match"),  # 42: M2
    ("Candida albicans", "Candida dubliniensis", "no match"),  # 43: M1
    ("Candida sp., non-albicans", "Candida albicans", "no match"),  # 44: M10
    ("yeast", "Candida albicans", "match"),  # 45: M4; year to be checked
    ("mixed flora", "Staphylococcus epidermidis", "ask"),  # 46: M5
]


@pytest.mark.parametrize(("a", "b", "answer"), PAIRS)
def test_two_names_match_as_written(a: str, b: str, answer: str) -> None:
    first, second = PROTOCOL.names.taxon(a), PROTOCOL.names.taxon(b)

    assert PROTOCOL.match(first, second) == answer
    assert PROTOCOL.match(second, first) == answer


def test_matching_is_not_transitive() -> None:
    """M11."""
    cons, epi, hominis = (
        PROTOCOL.names.taxon(name) for name in ("CoNS", "S. epidermidis", "S. hominis")
    )

    assert PROTOCOL.match(cons, epi) == PROTOCOL.match(cons, hominis) == "match"
    assert PROTOCOL.match(epi, hominis) == "no match"


@pytest.mark.parametrize(
    ("name", "role"),
    [
        ("S. aureus", "pathogen"),
        ("MRSA", "pathogen"),
        ("S. epidermidis", "commensal"),
        ("Staphylococcus lugdunensis", "ask"),
        ("Staphylococcus sp.", "ask"),
        ("Corynebacterium diphtheriae", "pathogen"),
        ("Corynebacterium ulcerans", "commensal"),
        ("Bacillus anthracis", "pathogen"),
        ("Priestia megaterium", "commensal"),
        ("Rhodococcus equi", "commensal"),
        ("E. coli", "pathogen"),
        ("EPEC", "secondary-only"),
        ("Salmonella Typhi", "secondary-only"),
        ("C. diff", "secondary-only"),
        ("Cryptococcus neoformans", "never"),
        ("Histoplasma capsulatum", "never"),
        ("Candida auris", "pathogen"),
        ("Pichia kudriavzevii", "pathogen"),
        ("something unheard of", "ask"),
        ("Gram-negative rods", "ask"),
    ],
)
def test_what_blood_with_an_organism_can_be(name: str, role: str) -> None:
    """Sections 1 to 3: remembered or derived, but for those seen."""
    assert PROTOCOL.lists.role(PROTOCOL.names.taxon(name)) == role


@pytest.mark.parametrize(
    ("name", "answer"),
    [
        ("Klebsiella aerogenes", "match"),
        ("Serratia marcescens", "match"),
        ("Nakaseomyces glabratus", "match"),
        ("Hoylesella sp.", "match"),
        ("Clostridioides difficile", "no match"),
        ("P. aeruginosa", "no match"),
        ("S. pneumoniae", "no match"),
        ("Finegoldia magna", "ask"),
        ("Lactobacillus sp.", "ask"),
        ("yeast", "ask"),
    ],
)
def test_the_intestinal_list(name: str, answer: str) -> None:
    """Section 2: remembered, renamings read."""
    assert PROTOCOL.lists.on("mucosal-barrier", PROTOCOL.names.taxon(name)) == answer
