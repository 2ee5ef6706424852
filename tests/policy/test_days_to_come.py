"""What is written for a day to come is proved today, procedures too."""

from __future__ import annotations

import json
from datetime import date
from typing import TYPE_CHECKING

from click.testing import CliRunner
from tests.asepsis_faults.own_files import loosened
from tests.policy.own_set import OwnSet

from lumenkeep.cli.main import main
from lumenkeep.core.policy.solver import prove_parts
from lumenkeep.core.proving.procedures import procedure_part

if TYPE_CHECKING:
    from pathlib import Path

DAY = date(2026, 11, 30)
CHANGE = "published/procedures/dressing-change.toml"
SOURCES = "published/procedures/sources.toml"
RULES = "quillmere/antisepsis.toml"
WAIT = """
[number.own-wait]
means = "what this ward waits, whatever was on the skin"
unit = "s"
values = [{ from = 2024-01-01, value = 120, source = "common-practice" }]
"""


def waiting(tmp_path: Path) -> OwnSet:
    """A ward that waits 120 s, and whose iodine will need 180 s from 2031 on."""
    own = OwnSet(tmp_path).add(CHANGE, WAIT)
    own.swap(CHANGE, 'seconds = "plan.dry"', 'seconds = "own-wait"', times=2)
    own.add("quillmere/openly.toml", loosened("dressing-change.D14"))
    return own.later(RULES, "pvi-dry", "2031-03-01", 180)


def test_a_wait_that_will_be_too_short_is_a_breach_from_that_day(
    tmp_path: Path,
) -> None:
    part = procedure_part(waiting(tmp_path).read(), DAY)

    assert not part.holds
    assert {b.since for b in part.breaches} == {date(2031, 3, 1)}
    assert any("step D14 “Wait." in b.says for b in part.breaches)
    assert all("agent povidone-iodine" in b.says for b in part.breaches)
    assert all(
        step.startswith("published/procedures/dressing-change.toml: step[")
        and rule.startswith("published/procedures/asepsis.toml: rule[")
        for b in part.breaches
        for (_, step), (_, rule) in [b.rules]
    )


def test_from_that_day_on_it_is_a_breach_of_today(tmp_path: Path) -> None:
    part = procedure_part(waiting(tmp_path).read(), date(2031, 3, 1))

    assert not part.holds
    assert {b.since for b in part.breaches} == {None}


def test_a_day_on_which_nothing_gets_longer_breaks_nothing(tmp_path: Path) -> None:
    own = OwnSet(tmp_path).later(RULES, "pvi-dry", "2031-03-01", 180)

    assert procedure_part(own.read(), DAY).holds


def test_a_time_that_starts_later_than_its_step_is_a_breach(tmp_path: Path) -> None:
    own = OwnSet(tmp_path).add(CHANGE, WAIT.replace("2024", "2030"))
    own.swap(CHANGE, 'seconds = "plan.dry"', 'seconds = "own-wait"', times=2)
    own.add("quillmere/openly.toml", loosened("dressing-change.D14"))

    [breach] = procedure_part(own.read(), DAY).breaches

    assert "D14 takes 'own-wait', which has no value on 2026-11-30" in breach.says
    assert breach.since is None


def test_rehearsing_says_from_which_day_a_step_is_wrong(tmp_path: Path) -> None:
    path = waiting(tmp_path).path

    result = CliRunner().invoke(main, ["rehearse", path, "dressing-change"])

    assert result.exit_code == 1
    openly, today = result.stdout.splitlines()[:2]
    assert openly.startswith("Loosened, of what this set is held to: ")
    assert "sound" in today
    later = result.stdout.index("From 2031-03-01")
    assert "D14 breaks" in result.stdout[later:]


def test_rehearsing_in_json_lists_the_days_to_come(tmp_path: Path) -> None:
    path = waiting(tmp_path).path

    result = CliRunner().invoke(main, ["rehearse", path, "dressing-change", "--json"])
    said = json.loads(result.stdout)

    assert result.exit_code == 1
    assert not said["sound"]
    assert [one["sound"] for one in said["procedures"]] == [True]
    [later] = said["later"]
    assert later["from"] == "2031-03-01"
    assert [one["sound"] for one in later["procedures"]] == [False]


def test_a_fault_of_a_rule_to_come_is_told_once_with_its_first_day(
    tmp_path: Path,
) -> None:
    """From 2030 gauze stays too long; in 2031 another number changes."""
    own = OwnSet(tmp_path).later(RULES, "pvi-dry", "2031-03-01", 180)
    own.later("quillmere/dressing.toml", "dressing-gauze", "2030-01-01", 10)

    broken = [b for part in prove_parts(own.read(), DAY) for b in part.breaches]

    assert broken
    assert {b.since for b in broken} == {date(2030, 1, 1)}
    # A stay is claimed of what will be put on and of what is worn: two children.
    told = [(b.says, b.rules, repr(b.shown_by)) for b in broken]
    assert len(set(told)) == len(told)


def test_a_number_of_a_procedure_is_under_the_floors_of_the_set(tmp_path: Path) -> None:
    """A hub is scrubbed for two seconds, and only the procedures name that number."""
    own = OwnSet(tmp_path).later(SOURCES, "hub-scrub", "2025-01-01", 2)

    part = procedure_part(own.read(), DAY)

    assert not part.holds
    assert any(
        "'hub-scrub' is 2 s; SHEA22 needs at least 5 s" in b.says for b in part.breaches
    )
    assert all(
        any(where == f"{SOURCES}: number.hub-scrub" for _, where in breach.rules)
        for breach in part.breaches
    )
