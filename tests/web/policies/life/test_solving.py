"""The solver in a process of its own: what it is asked, says as it goes, and fails at."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.template.loader import render_to_string
from tests.fakes.work_here import work_off

from lumenkeep.core.policy.archive import SetTexts, policy_from_texts, set_texts
from lumenkeep.core.proving.prove_policy import prove_policy
from lumenkeep.files.case.case_file import case_from_mapping
from lumenkeep.ward.long_work.jobs import JobSoFar
from lumenkeep.ward.long_work.own_process import OwnProcess
from lumenkeep.ward.long_work.work import claimed
from lumenkeep.ward.policies import runs as policy_runs
from lumenkeep.ward.policies.parts import Parts
from lumenkeep.ward.policies.solve import answer

TODAY = date(2026, 11, 25)
META = (
    '[set]\nid = "own"\ntitle = "t"\nversion = "1"\nextends = "quillmere"\ncall = "c"\n'
)


def layers_with(*values: tuple[str, int]) -> list[SetTexts]:
    """The shipped set with other values of the mass limit, each from a day."""
    below = set_texts("quillmere")
    top = Parts.of([*below, SetTexts.of("own", {"set.toml": META})])
    table = dict(top.table("number", "chg-mass"))
    table["values"] = [
        {"from": date.fromisoformat(day), "value": value, "source": "common-practice"}
        for day, value in values
    ]
    files = top.with_part("number", "chg-mass", table)
    return [*below, SetTexts.of("own", files)]


def packed(layers) -> list[dict[str, object]]:
    return [{"name": layer.name, "files": dict(layer.files)} for layer in layers]


def said_by_a_process(question: dict[str, Any]) -> list[dict[str, Any]]:
    said: list[dict[str, Any]] = []
    with OwnProcess("lumenkeep.ward.policies.solve", question) as process:
        while (one := process.heard(1)) is not None:
            said += [one] if one else []
        assert process.status == 0
    return said


def test_a_value_from_a_later_day_is_proved_for_that_day_too() -> None:
    policy = policy_from_texts(layers_with(("2024-01-01", 1000), ("2027-02-01", 1200)))

    proof = prove_policy(policy, TODAY, lambda c: case_from_mapping(c, "example"))

    broken = [part for part in proof.parts if not part.holds]
    assert [part.name for part in broken] == ["safe"]
    assert broken[0].breaches


def test_a_comparison_says_what_is_in_force_first() -> None:
    found = answer(
        {
            "what": "compare",
            "other": packed(set_texts("quillmere")),
            "policy": packed(layers_with(("2024-01-01", 1200))),
            "day": TODAY.isoformat(),
        },
        lambda _: None,
    )

    assert (found["a"]["set"], found["b"]["set"]) == ("quillmere", "own")
    assert found["exact"]
    assert found["regions"]
    agents = {(one["a"]["agent"], one["b"]["agent"]) for one in found["regions"]}
    assert ("chlorhexidine-alcohol", "povidone-iodine") in agents


def test_the_process_tells_what_it_compares_and_then_the_whole() -> None:
    question = {
        "what": "compare",
        "other": packed(set_texts("quillmere")),
        "policy": packed(layers_with(("2024-01-01", 1200))),
        "day": TODAY.isoformat(),
    }
    *parts, last = said_by_a_process(question)

    told = [part["part"]["name"] for part in parts]
    assert told == [
        "statements",
        "answers of today",
        "antiseptic",
        "technique",
        "dressing",
    ]
    assert last["done"]["differs"]


def test_the_page_says_what_is_compared_while_it_is(monkeypatch) -> None:
    run = JobSoFar(parts=[{"name": "statements"}, {"name": "dressing"}])
    page = render_to_string(
        "lumenkeep/policy/comparison.html",
        {"href": "", "groups": [{"title": "t", "wards": "w", "run": run}]},
    )

    assert "answered differently: dressing …" in page


def test_the_process_tells_each_property_and_then_the_whole() -> None:
    question = {"what": "prove", "policy": packed(set_texts("quillmere"))}
    *parts, last = said_by_a_process({**question, "day": TODAY.isoformat()})

    assert [p["part"]["name"] for p in parts] == [
        "complete", "safe", "consistent", "stable", "honest", "aseptic", "laid-out",
    ]  # fmt: skip
    assert last["done"]["proved"]


@pytest.mark.django_db
def test_a_run_that_failed_says_why_and_is_tried_again_only_when_asked() -> None:
    bad = [SetTexts.of("bad", {"set.toml": '[set]\nid = "bad"\n'})]

    assert not policy_runs.proof_of(bad, "a digest", TODAY).is_over
    assert work_off("solver") == 1
    assert "policy-missing" in policy_runs.proof_of(bad, "a digest", TODAY).failed
    assert work_off("solver") == 0
    again = policy_runs.proof_of(bad, "a digest", TODAY, again=True)
    assert not again.is_over
    assert work_off("solver") == 1


@pytest.mark.django_db
def test_what_is_looked_at_now_is_worked_out_first() -> None:
    def proof(name: str) -> JobSoFar:
        return policy_runs.proof_of([SetTexts.of(name, {})], name, TODAY)

    def begun() -> str:
        job = claimed("solver", "here")
        assert job is not None
        return job.key

    proof("first")
    order = [begun()]
    for name in ("saved again since", "looked at", "left", "looked at"):
        proof(name)
    order += [begun() for _ in range(3)]

    names = ("first", "looked at", "left", "saved again since")
    assert order == [policy_runs.proof_key(name, TODAY) for name in names]
    assert claimed("solver", "here") is None
