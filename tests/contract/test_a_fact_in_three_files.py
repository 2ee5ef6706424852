"""A new fact takes three files: what keeps it, what it is, and how it is charted.

Three are planted into a copy of the package, a yes or no of the child, one of the line,
and a word of the child, and walked from the chart to the proof. So the count stays, and
no list is forgotten.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from shutil import copytree, ignore_patterns

import pytest
from tests.contract import walk_of_a_fact as walk

from lumenkeep.ward.chart.store.state_json import FORMAT

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src/lumenkeep"
KEPT = "core/model/case.py"
TABLE = "core/model/closed_facts.py"
LAST_OF_TABLE = ')\n"""Every such fact, in the order'
# By the fact: in which file, before what, the lines that a developer adds.
PLANTED = {
    "bleeds_easily": (
        (KEPT, "    allergies: Allergies =", "    bleeds_easily: Fact[bool] = NOT_GIVEN\n"),
        (
            TABLE,
            LAST_OF_TABLE,
            """    ClosedFact(
        "bleeds_easily",
        (Child,),
        "bleeds easily",
        words.YES_NO,
        "Does the child bleed easily?",
        ("Whether the child bleeds easily.",),
        usual="no",
        charted_in="bleeding",
        phrases=("bleeding easily", "not bleeding easily"),
    ),
""",
        ),
        (
            "core/entries/kinds/of_child.py",
            '    Kind(\n        "stay",',
            """    Kind(
        "bleeding",
        "Whether the child bleeds easily",
        CHILD,
        (
            Field(
                "easily",
                "Does the child bleed easily?",
                YesNo(),
                required=True,
                sets="child.bleeds_easily",
            ),
        ),
        Form("Does the child bleed easily?", "Chart it"),
    ),
""",
        ),
    ),
    "sleeps": (
        (KEPT, "    allergies: Allergies =", "    sleeps: Fact[str] = NOT_GIVEN\n"),
        (
            TABLE,
            LAST_OF_TABLE,
            """    ClosedFact(
        "sleeps",
        (Child,),
        "how the child sleeps",
        {"still": "Still", "restless": "Restless"},
        "How does the child sleep?",
        ("How it sleeps.",),
        usual="still",
        charted_in="sleep",
    ),
""",
        ),
        (
            "core/entries/kinds/of_child.py",
            '    Kind(\n        "stay",',
            """    Kind(
        "sleep",
        "How the child sleeps",
        CHILD,
        (
            Field(
                "how",
                "How does the child sleep?",
                Word({"still": "Still", "restless": "Restless"}),
                required=True,
                sets="child.sleeps",
            ),
        ),
        Form("How does the child sleep?", "Chart it"),
    ),
""",
        ),
    ),
    "repaired": (
        (KEPT, "    done: tuple[tuple[str", "    repaired: Fact[bool] = NOT_GIVEN\n"),
        (
            TABLE,
            LAST_OF_TABLE,
            """    ClosedFact(
        "repaired",
        (Line,),
        "line repaired",
        words.YES_NO,
        "Was the line repaired?",
        ("Whether it was repaired.",),
        usual="no",
        charted_in="line-repair",
        phrases=("the line was repaired", "the line was not repaired"),
    ),
""",
        ),
        (
            "core/entries/kinds/of_line.py",
            '    Kind(\n        "line-tip",',
            """    Kind(
        "line-repair",
        "Whether the line was repaired",
        LINE,
        (
            Field(
                "repaired",
                "Was the line repaired?",
                YesNo(),
                required=True,
                sets="line.repaired",
            ),
        ),
        Form("Was the line repaired?", "Chart it"),
    ),
""",
        ),
    ),
}  # fmt: skip
MOST_FILES = 3
STEPS = tuple(step.__name__ for step in walk.STEPS)


@pytest.fixture(scope="module")
def copied(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with a copy of the package in which both facts are planted."""
    folder = tmp_path_factory.mktemp("copied")
    copytree(
        PACKAGE,
        folder / "lumenkeep",
        ignore=ignore_patterns("static", "templates", "__pycache__"),
    )
    for places in PLANTED.values():
        for file, before, lines in places:
            path = folder / "lumenkeep" / file
            text = path.read_text(encoding="utf-8")
            assert text.count(before) == 1, (file, before)
            path.write_text(text.replace(before, lines + before), encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def walked(copied: Path) -> dict[str, str]:
    """Return what became of each step of the walk; empty where all went well."""
    ran = subprocess.run(
        [sys.executable, walk.__file__, str(copied), FORMAT],
        env={**os.environ, "PYTHONPATH": str(copied)},
        capture_output=True, text=True, check=False, encoding="utf-8",
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    found: dict[str, str] = json.loads(ran.stdout)
    return found


@pytest.mark.parametrize("step", STEPS)
def test_a_planted_fact_arrives(step: str, walked: dict[str, str]) -> None:
    assert walked[step] == ""


@pytest.mark.parametrize("fact", PLANTED)
def test_it_takes_no_more_than_three_files(fact: str) -> None:
    assert len({file for file, _, _ in PLANTED[fact]}) <= MOST_FILES
