"""The determination holds no number of the protocol: each is data of its year.

What is left in code is named here, and says nothing clinical.
"""

from __future__ import annotations

from pathlib import Path

from tests.contract.test_no_clinical_numbers import clinical_numbers

ENGINE = Path(__file__).parents[2] / "src" / "lumenkeep" / "core" / "outcomes"
TECHNICAL = {
    ("agree.py", "2"),  # a pair
    ("agree.py", "8"),  # ways said of one event at most
    ("agree.py", "200"),  # runs compared one with each other
    ("barrier.py", "9"),  # decimals of a quotient
    ("blood.py", "60"),  # ways to tell bottles of a day apart
    ("counting.py", "100.0"),  # per cent
    ("line_days.py", "10"),  # unknown facts of lines tried together
    ("organism_match.py", "2"),  # order of exactness
    ("organism_match.py", "3"),
    ("organism_match.py", "4"),
    ("organism_names.py", "0.7"),  # how near a name must be to be offered
    ("organism_names.py", "2"),
    ("organism_names.py", "3"),  # letters of an epithet, names offered
    ("protocol_year.py", "8"),  # years kept in memory
    ("runs.py", "1500"),  # ways through one cluster of blood
    ("signs.py", "12"),  # months of a year
}


def test_the_determination_holds_no_number_of_the_protocol() -> None:
    found = {
        (path.name, number)
        for path in sorted(ENGINE.glob("*.py"))
        for _, number in clinical_numbers(path.read_text(encoding="utf-8"))
    }

    assert found - TECHNICAL == set()
