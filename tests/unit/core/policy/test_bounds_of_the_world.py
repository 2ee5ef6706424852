"""Bounds of the world: one number everywhere, and no set moves it unawares."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
import z3
from click.testing import CliRunner

from lumenkeep.cli.main import main
from lumenkeep.core.model import Birth, CalendarSpan
from lumenkeep.core.policy import load_policy, shipped_sets
from lumenkeep.core.policy.archive import policy_from_texts, set_texts
from lumenkeep.core.policy.files import world_bounds
from lumenkeep.core.policy.solver.answers import SymbolicAnswer
from lumenkeep.core.policy.solver.child import MINUTES_PER_DAY
from lumenkeep.errors import CaseError, PolicyError
from lumenkeep.files.case.case_file import case_from_mapping
from lumenkeep.files.case.schema import case_schema
from lumenkeep.text.policy.plain_text import reading_in_words
from lumenkeep.text.policy.policy_reading import read_policy

if TYPE_CHECKING:
    from pathlib import Path

DAY = date(2026, 3, 15)
HEAD = """
[set]
id = "own"
title = "Our own"
version = "1"
extends = "quillmere"
call = "the vascular access nurse on call"
"""
LONGER = """
[[bound]]
id = "external-length-mm"
because = "Some of our lines are longer."
low = 0
high = 700
unit = "mm"
from = 2024-01-01
source = "common-practice"
"""


def own(folder: Path, text: str) -> str:
    (folder / "set.toml").write_text(HEAD + text, encoding="utf-8")
    return str(folder)


def codes(folder: Path, text: str) -> set[str]:
    with pytest.raises(PolicyError) as refused:
        load_policy(own(folder, text))
    return {fault.code for fault in refused.value.faults}


@pytest.mark.parametrize("name", shipped_sets())
def test_every_set_has_the_world_s_bounds(name: str) -> None:
    bounds = load_policy(name).bounds

    assert {
        "external-length-mm", "lumens", "stitches", "mass-g", "gestation",
        "arm-girth-mm", "temperature-degc",
    } <= set(bounds)  # fmt: skip
    assert [b.says for b in bounds.values()] == [
        b.says for b in world_bounds().values()
    ]


def test_a_longer_line_is_refused_until_the_set_says_that_it_means_it(
    tmp_path: Path,
) -> None:
    assert codes(tmp_path, LONGER) == {"policy-bound-restated"}

    policy = load_policy(own(tmp_path, LONGER + "restates = true\n"))

    assert policy.bounds["external-length-mm"].span == (0, 700)
    assert policy.bounds["lumens"].counts == (1, 5)


def test_a_restated_bound_stands_in_the_first_lines(tmp_path: Path) -> None:
    name = own(tmp_path, LONGER + "restates = true\n")

    proved = CliRunner().invoke(main, ["prove", name]).output
    read = reading_in_words(read_policy(load_policy(name), DAY))
    as_json = CliRunner().invoke(main, ["prove", name, "--json"]).output

    says = "external-length-mm is 0 mm to 700 mm here, 0 mm to 600 mm elsewhere"
    assert says in proved.splitlines()[2]  # after what the house loosens
    assert says in " ".join(read.split("\n\n")[0].split())
    assert says in json.loads(as_json)["said_openly"][2]


def test_a_set_that_asks_more_may_leave_out_what_is_plausible(tmp_path: Path) -> None:
    head = HEAD.replace("[set]", '[set]\nremove = ["mass-after-first-birthday"]')
    (tmp_path / "set.toml").write_text(head, encoding="utf-8")

    assert load_policy(str(tmp_path)).plausible == ()


def test_a_bound_cannot_be_taken_away(tmp_path: Path) -> None:
    head = HEAD.replace("[set]", '[set]\nremove = ["lumens"]')
    (tmp_path / "set.toml").write_text(head, encoding="utf-8")

    assert load_policy(str(tmp_path)).bounds["lumens"].counts == (1, 5)


def test_a_kept_set_is_held_to_the_world_that_was_kept_with_it() -> None:
    published, *rest = set_texts("quillmere")
    older = tuple(
        (name, text.replace('high = 600\nunit = "mm"', 'high = 900\nunit = "mm"', 1))
        for name, text in published.files
    )
    assert older != published.files

    kept = policy_from_texts([type(published)(published.name, older), *rest])

    assert kept.bounds["external-length-mm"].high == 900


@pytest.mark.parametrize(
    ("old", "grams", "is_believed"),
    [
        (timedelta(days=5 * 366), 1800, False),
        (timedelta(days=5 * 366), 18_000, True),
        (timedelta(days=5 * 366), 7000, True),  # starving, yet alive
        (timedelta(days=62), 1450, True),
        (timedelta(days=3), 250, True),  # the smallest survivors, from memory
        (timedelta(days=3), 180_000, False),
        (timedelta(days=400), 2000, True),
        (timedelta(days=400), 1990, False),
        (timedelta(days=17 * 365), 250_000, True),
    ],
)
def test_a_mass_must_be_one_of_its_age(
    old: timedelta, grams: float, is_believed: bool
) -> None:
    at = datetime(2026, 3, 1, 12, tzinfo=UTC)
    case = {
        "child": {
            "born": (at - old).isoformat(),
            "weights": [{"at": at.isoformat(), "g": grams}],
        }
    }

    if is_believed:
        case_from_mapping(case, "case.json")
        return
    with pytest.raises(CaseError) as refused:
        case_from_mapping(case, "case.json")
    [fault] = refused.value.faults
    assert fault.code == "case-contradiction"
    assert fault.where == "case.json: child.weights[0].g"


def test_a_birth_known_to_the_day_is_believed_at_either_end() -> None:
    mass = world_bounds()["mass-g"]
    born = Birth.on(date(2026, 1, 1), UTC)
    a_year_on = datetime(2027, 1, 1, 12, tzinfo=UTC)

    assert mass.of_child(born, a_year_on) == (800, 60_000)
    assert mass.of_child(None, a_year_on) == (150, 300_000)


def test_the_case_file_takes_the_world_s_longest_length() -> None:
    schema = case_schema()["properties"]["line"]["anyOf"][1]["properties"]

    [length] = [p for p in schema["external_length_mm"]["anyOf"] if "maximum" in p]
    [lumens] = [p for p in schema["lumens"]["anyOf"] if "maximum" in p]
    assert (length["minimum"], length["maximum"]) == (0, 600)
    assert (lumens["minimum"], lumens["maximum"]) == (1, 5)


@pytest.mark.parametrize("name", shipped_sets())
def test_what_is_plausible_follows_from_the_bounds(name: str) -> None:
    """A mass nobody charted is never taken for more than its age lets it be."""
    answer = SymbolicAnswer(load_policy(name).on(DAY))
    child = answer.child
    narrowing = [one for one in child.assumptions if "mass_least" in str(one)]
    others = [one for one in child.assumptions if "mass_least" not in str(one)]
    solver = z3.Solver()
    solver.add(*others, child.of_this_world, child.mass_least == answer.least_mass())
    surely_a_year = child.calendar[CalendarSpan(12, 0)][0]
    solver.add(z3.Implies(surely_a_year, child.age >= 365 * MINUTES_PER_DAY))

    assert len(narrowing) == 2
    assert solver.check(child.mass < child.mass_least) == z3.unsat
