"""The proof of the shipped sets: what it lists, what it says, and how it can fail."""

from __future__ import annotations

import json
import shutil
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import pytest
from click.testing import CliRunner

from lumenkeep.cli.main import main
from lumenkeep.core.model import (
    Birth,
    CalendarSpan,
    Elapsed,
    Gestation,
    Unknown,
    mass_at,
)
from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.files import SHIPPED_FOLDER
from lumenkeep.core.policy.solver import PROPERTIES, boundary_cases
from lumenkeep.core.proving import prove_policy as service
from lumenkeep.core.proving.prove_policy import Proof, prove_policy
from lumenkeep.files.case.case_file import case_from_mapping, check_at
from lumenkeep.files.proof import proof_as_json
from lumenkeep.text.policy.said_of_proof import said_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from lumenkeep.core.model import Case
    from lumenkeep.core.planning import Plan
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.solver import BoundaryCase, Part


DAY = date(2026, 3, 15)
MINUTE = timedelta(minutes=1)
SHIPPED = ("quillmere", "uk-guideline", "us-guideline")


def read(case: Any) -> Case:
    return case_from_mapping(case, "boundary case")


@pytest.fixture(scope="module", params=SHIPPED)
def policy(request: pytest.FixtureRequest) -> Policy:
    return load_policy(request.param)


@pytest.fixture(scope="module")
def cases(policy: Policy) -> list[BoundaryCase]:
    return list(boundary_cases(policy, DAY))


@pytest.fixture(scope="module")
def loose(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The demo hospital's set with one sign turned; returns its folder."""
    folder = tmp_path_factory.mktemp("turned") / "loose"
    shutil.copytree(SHIPPED_FOLDER / "quillmere", folder)
    rules = folder / "antisepsis.toml"
    text = rules.read_text(encoding="utf-8")
    wrong = text.replace(
        'mass = { below = "chg-mass" }', 'mass = { above = "chg-mass" }'
    )
    assert wrong != text
    rules.write_text(wrong, encoding="utf-8")
    return str(folder)


@lru_cache
def run(*words: str) -> tuple[int, str, str]:
    """Return what a command answers; nothing it reads changes in this module."""
    result = CliRunner().invoke(main, list(words))
    return result.exit_code, result.stdout, result.stderr


# ---------------------------------------------------------------- the shipped sets


@lru_cache
def proved(name: str) -> tuple[Proof, tuple[Part, ...]]:
    """Return the proof of a shipped set, and its parts as they were told."""
    told: list[Part] = []
    proof = prove_policy(load_policy(name), DAY, read, told.append)
    return proof, tuple(told)


@pytest.mark.parametrize("name", SHIPPED)
def test_a_shipped_set_is_proved_and_lists_every_property(name: str) -> None:
    policy = load_policy(name)

    proof, told = proved(name)

    assert [b.says for part in proof.parts for b in part.breaches] == []
    assert proof.holds
    assert told == proof.parts
    assert (proof.policy_set, proof.version, proof.day) == (
        policy.id,
        policy.version,
        DAY,
    )
    assert proof.digest == policy.digest
    assert [part.name for part in proof.parts] == [*PROPERTIES]
    assert all(part.claims > 0 for part in proof.parts)
    assert all(part.seconds >= 0 for part in proof.parts)


# ---------------------------------------------------------------- boundary cases


def test_a_boundary_case_is_one_that_a_file_may_hold(
    policy: Policy, cases: list[BoundaryCase]
) -> None:
    for case in cases:
        text = json.dumps(case.shown.case)
        at = datetime.fromisoformat(case.shown.at)
        check_at(read(json.loads(text)), at, "boundary case")

    assert len(cases) > 100


def test_every_verdict_agent_and_dressing_has_a_boundary_case(
    policy: Policy, cases: list[BoundaryCase]
) -> None:
    assert {c.expected.verdict for c in cases} == {"plan", "ask", "stop"}
    assert {c.expected.agent for c in cases} - {None} == set(policy.antiseptics)
    assert {c.expected.dressing for c in cases} - {None} == set(policy.dressings)


def limits(policy: Policy) -> Iterator[tuple[str, Any, str]]:
    book = policy.on(DAY)
    for live in (*book.exclusions, *book.referrals):
        for row in live.when.rows:
            for c in row:
                if not isinstance(c.limit, frozenset) and c.number:
                    yield c.fact, c.limit, c.number


def stands(fact: str, limit: Any, shown: Any) -> str | None:
    """Return on which side of a limit a child stands next to it: short, on or over."""
    case, at = read(shown.case), datetime.fromisoformat(shown.at)
    child = case.child
    if fact == "age":
        if not isinstance(child.born, Birth) or not child.born.is_exact:
            return None
        end = limit.after(child.born.earliest, case.zone)
        if isinstance(limit, CalendarSpan):
            return "short" if at < end else "on"
        return {end - MINUTE: "short", end: "on"}.get(at)
    if fact == "gestation_at_birth":
        found = child.gestation_at_birth
        if not isinstance(found, Gestation) or found.days != found.until:
            return None
        return {limit - 1: "short", limit: "on"}.get(found.days)
    weighed = mass_at(child, at)
    if isinstance(weighed, Unknown):
        return None
    return {limit - 1: "short", limit: "on"}.get(weighed.grams)


def test_both_sides_of_every_limit_have_a_boundary_case(
    policy: Policy, cases: list[BoundaryCase]
) -> None:
    """Numbers of one length share their cases: the first one names them."""
    tried = 0
    named: dict[tuple[str, Any], str] = {}
    for fact, limit, first in limits(policy):
        tried += 1
        number = named.setdefault((fact, limit), first)
        sides = {
            stands(fact, limit, case.shown)
            for case in cases
            if case.side.startswith(f"{fact} {number}:")
        }
        assert {"short", "on"} <= sides, f"{fact} {number}"
        assert isinstance(limit, Elapsed | CalendarSpan | int | float)

    assert tried >= 4


# ---------------------------------------------------------------- a faulty planner


def test_a_planner_that_answers_otherwise_is_not_honest(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Planted fault: the planner is asked a minute late."""

    def late(case: Case, at: datetime, policy: Policy) -> Plan:
        return plan_change(case, at + MINUTE, policy)

    monkeypatch.setattr(service, "plan_change", late)

    proof = prove_policy(load_policy("quillmere"), DAY, read)

    [broken] = [part for part in proof.parts if not part.holds]
    assert broken.name == "honest"
    assert not proof.holds
    for breach in broken.breaches:
        assert "the formulas say" in breach.says
        assert breach.mend == "this is a fault of Lumenkeep: report it"
        assert breach.shown_by is not None


# ---------------------------------------------------------------- the commands


def test_the_command_tells_each_property_and_leaves_with_0() -> None:
    code, out, err = run("prove", "uk-guideline")

    assert (code, err) == (0, "")
    anew, *lines = out.splitlines()
    assert anew.startswith("Said anew by uk-guideline, over published: ")
    end = lines.index("Not proved:")
    assert [line.split()[:2] for line in lines[:end]] == [
        [name, "proved"] for name in PROPERTIES
    ]
    for line, says in zip(lines, PROPERTIES.values(), strict=False):
        assert line.endswith(f" s: {says}")


def test_the_command_shows_what_is_not_proved_and_leaves_with_1(loose: str) -> None:
    code, out, err = run("prove", loose)

    assert (code, err) == (1, "")
    assert "\nsafe        NOT PROVED" in out
    assert "where: loose/requirements.toml: require[" in out
    for word in (
        "  mend:  ",
        "    child: A child ",
        "    case:  {",
        "    see:   lumenkeep plan CASE --at ",
    ):
        assert word.strip() in out


def test_the_child_shown_is_one_that_the_plan_command_takes(
    loose: str, tmp_path: Path
) -> None:
    _, out, _ = run("prove", loose, "--json")
    shown = [
        breach
        for part in json.loads(out)["properties"]
        for breach in part["breaches"]
        if breach["case"]
    ]
    file = tmp_path / "case.json"

    for breach in shown:
        file.write_text(json.dumps(breach["case"]), encoding="utf-8")
        at = breach["later"] or breach["at"]
        code, _, err = run("plan", str(file), "--at", at, "--policy", loose)
        assert code in (0, 3, 4), err
        assert err == ""

    assert shown


def test_a_set_that_cannot_be_read_leaves_with_2(tmp_path: Path) -> None:
    (tmp_path / "set.toml").write_text("[set]\n", encoding="utf-8")

    code, out, err = run("prove", str(tmp_path))

    assert (code, out) == (2, "")
    assert "[policy-missing]" in err
    assert run("prove", str(tmp_path / "nowhere"))[0] == 2


def test_policy_check_includes_the_proof(loose: str) -> None:
    code, out, _ = run("policy", "check", "uk-guideline")
    wrong_code, wrong_out, _ = run("policy", "check", loose)

    assert code == 0
    assert "No fault found." in out
    assert [name for name in PROPERTIES if f"\n{name}" in out] == list(PROPERTIES)
    assert wrong_code == 1
    assert "NOT PROVED" in wrong_out


# ---------------------------------------------------------------- as JSON


def test_a_proof_in_json_has_its_shape() -> None:
    before = datetime.now(UTC).date()
    code, out, err = run("prove", "us-guideline", "--json")
    said = json.loads(out)

    assert (code, err) == (0, "")
    assert set(said) == {
        "said_openly", "policy", "day", "proved", "properties", "not_proved", "believed",
    }  # fmt: skip
    assert set(said["policy"]) == {"set", "version", "digest"}
    assert said["policy"]["set"] == "us-guideline"
    assert before <= date.fromisoformat(said["day"]) <= datetime.now(UTC).date()
    assert said["proved"] is True
    assert [p["name"] for p in said["properties"]] == [*PROPERTIES]
    for part in said["properties"]:
        assert set(part) == {"name", "says", "proved", "claims", "seconds", "breaches"}
        assert part["proved"] is True
        assert part["claims"] > 0
        assert part["breaches"] == []


def test_a_breach_in_json_names_rules_mend_and_child(loose: str) -> None:
    code, out, _ = run("prove", loose, "--json")
    said = json.loads(out)
    breaches = [b for p in said["properties"] for b in p["breaches"]]

    assert (code, said["proved"]) == (1, False)
    assert breaches
    for breach in breaches:
        assert set(breach) == {
            "says",
            "rules",
            "mend",
            "child",
            "case",
            "at",
            "later",
            "since",
        }
        assert all(set(r) == {"rule", "where"} for r in breach["rules"])
        assert breach["says"]
        assert breach["mend"]


def test_what_holds_is_what_every_part_holds() -> None:
    proof, _ = proved("uk-guideline")
    none = Proof("x", "1", "d", DAY, ())

    said = said_of(load_policy("uk-guideline"), DAY)
    assert proof_as_json(proof, said)["proved"] is proof.holds is True
    assert none.holds
