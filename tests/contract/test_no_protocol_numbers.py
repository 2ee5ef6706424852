"""The determination holds no number of the protocol: each is data of its year.

What is left in code is named here, and says nothing clinical.
"""

from __future__ import annotations

from pathlib import Path

from tests.contract.test_no_clinical_numbers import clinical_numbers

ENGINE = Path(__file__).parents[2] / "src" / "lumenkeep" / "outcomes"
TECHNICAL = {
    ("barrier.py", "9"),  # decimals of a quotient
    ("counting.py", "100.0"),  # per cent
    ("organism_match.py", "2"),  # order of exactness
    ("organism_match.py", "3"),
    ("organism_match.py", "4"),
    ("organism_names.py", "3"),  # letters of an epithet
    ("signs.py", "12"),  # months of a year
}


def test_the_determination_holds_no_number_of_the_protocol() -> None:
    found = {
        (path.name, number)
        for path in sorted(ENGINE.glob("*.py"))
        for _, number in clinical_numbers(path.read_text(encoding="utf-8"))
    }

    assert found - TECHNICAL == set()
