"""A few organisms, placed and matched by hand for the second determination.

Written from the rules on organisms alone, without the engine's lists: a handful of
names whose place is settled. A name that is not here is a mistake of the test.
"""

from __future__ import annotations

SPELLINGS = {
    "S. aureus": "staph aureus",
    "E. coli": "e coli",
    "K. pneumoniae": "kleb pneumoniae",
    "Klebsiella pneumoniae": "kleb pneumoniae",
    "K. oxytoca": "kleb oxytoca",
    "Enterobacter cloacae": "ent cloacae",
    "S. marcescens": "serratia",
    "P. aeruginosa": "pseudomonas",
    "Acinetobacter baumannii": "acinetobacter",
    "Bacteroides fragilis": "b fragilis",
    "E. faecalis": "e faecalis",
    "Enterococcus faecium": "e faecium",
    "S. pneumoniae": "pneumococcus",
    "group B streptococcus": "group b",
    "Candida": "candida",
    "Candida albicans": "c albicans",
    "coagulase-negative staphylococci": "cons",
    "CoNS": "cons",
    "S. epidermidis": "epidermidis",
    "S. hominis": "hominis",
    "viridans streptococci": "viridans",
    "Streptococcus mitis": "s mitis",
    "Rothia mucilaginosa": "rothia",
    "Salmonella sp.": "salmonella",
    "Cryptococcus neoformans": "cryptococcus",
}

NEVER = {"cryptococcus"}  # R14: usable for no definition
NOT_FOR_BLOOD = {"salmonella"}  # R14: no laboratory-confirmed bloodstream infection
COMMENSALS = {"cons", "epidermidis", "hominis", "viridans", "s mitis", "rothia"}  # R18
FROM_THE_MOUTH = {"viridans", "s mitis", "rothia"}  # R20 b
FROM_THE_GUT = {  # R20 d
    "e coli", "kleb pneumoniae", "kleb oxytoca", "ent cloacae", "serratia",
    "b fragilis", "e faecalis", "e faecium", "candida", "c albicans",
}  # fmt: skip
YEASTS = {"candida", "c albicans"}  # R14: no urinary infection
GROUP_B = "group b"
HOLDS = {  # R19: a less exact name, and the more exact ones under it
    "cons": {"epidermidis", "hominis"},
    "viridans": {"s mitis"},
    "candida": {"c albicans"},
}


def organism(name: str) -> str:
    """Return what a name means."""
    return SPELLINGS[name]


def is_pathogen(one: str) -> bool:
    """Whether one specimen with it is enough (R15)."""
    return one not in NEVER | NOT_FOR_BLOOD | COMMENSALS


def are_the_same(one: str, other: str) -> bool:
    """Whether two organisms match (R19)."""
    return (
        one == other or other in HOLDS.get(one, set()) or one in HOLDS.get(other, set())
    )


def share(some: set[str], others: set[str]) -> bool:
    """Whether any of one lot matches any of another."""
    return any(are_the_same(one, other) for one in some for other in others)
