"""Opening a guide over the network: who may, what comes back, one guide for one pair."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest
from django.test import Client

from lumenkeep.ward.guide.models import GuideRun
from lumenkeep.ward.guide.repository import RunRepository

if TYPE_CHECKING:
    from django.http import HttpResponse

ASKED = {
    "line": "l-1",
    "procedure": "dressing-change",
    "assistant": "s-garnet",
    "answers": {"soil": "no", "securement": "keep"},
}


def opened(client: Client, **other: Any) -> HttpResponse:
    sent = {**ASKED, **other}
    return client.post("/guide/runs/", sent, content_type="application/json")


def codes(answer: HttpResponse) -> list[str]:
    assert answer.status_code == 422
    return [fault["code"] for fault in answer.json()["faults"]]


def test_a_guide_comes_with_everything_for_the_bedside(flint) -> None:
    answer = opened(flint)

    bundle = answer.json()
    assert answer.status_code == 201
    assert bundle["people"] == {
        "operator": {"key": "s-flint", "name": "Demo Flint"},
        "assistant": {"key": "s-garnet", "name": "Demo Garnet"},
    }
    assert bundle["line"]["child"] == "Demo Sorrel 1"
    assert bundle["line"]["name"] == "PICC, left upper arm, 1 lumen"
    assert bundle["plan"]["antiseptic"] == "Chlorhexidine 2 % in alcohol"
    assert bundle["also_open"] is None
    assert [s["id"] for s in bundle["steps"]][:2] == ["PR1", "PR2"]
    assert "D12" not in [s["id"] for s in bundle["steps"]]


def test_what_is_kept_of_a_guide_names_no_child(flint) -> None:
    opened(flint)

    assert "Sorrel" not in str(GuideRun.objects.get().head)


def test_the_bundle_can_be_fetched_again(flint) -> None:
    bundle = opened(flint).json()

    again = flint.get(f"/guide/runs/{bundle['run']}/bundle")

    assert again.status_code == 200
    assert again.json() == bundle


def test_until_the_ways_back_are_there_the_answer_says_how_far_they_are(
    flint, ways
) -> None:
    ways.progress = 0.25
    answer = opened(flint)
    run = answer.json()["run"]

    assert (answer.status_code, answer.json()["progress"]) == (202, 0.25)
    assert flint.get(f"/guide/runs/{run}/bundle").status_code == 202
    ways.progress = 1.0
    assert flint.get(f"/guide/runs/{run}/bundle").json()["run"] == run


def test_no_guide_without_ways_back(flint, ways) -> None:
    ways.failed = "out of memory"
    answer = opened(flint)

    assert answer.status_code == 503
    assert answer.json()["faults"][0]["code"] == "guide-no-ways"
    assert b"memory" not in answer.content


def test_the_same_two_on_a_second_tablet_get_the_same_guide(
    signed_in, clock, flint
) -> None:
    first = opened(flint, tablet="t-1").json()
    clock.move(minutes=3)
    second = opened(signed_in("garnet"), assistant="s-flint", tablet="t-2")

    assert second.status_code == 200
    assert second.json()["run"] == first["run"]
    assert second.json()["also_open"]["by_name"] == "Demo Flint"
    assert second.json()["also_open"]["since"] == "2026-11-25T18:00:00+00:00"


def test_the_same_tablet_that_asks_again_is_not_told_of_itself(flint) -> None:
    first = opened(flint, tablet="t-1").json()
    second = opened(flint, tablet="t-1").json()

    assert (second["run"], second["also_open"]) == (first["run"], None)


def test_others_get_a_guide_of_their_own_and_are_told(signed_in, flint) -> None:
    first = opened(flint).json()
    second = opened(signed_in("chalk")).json()

    assert second["run"] != first["run"]
    assert second["also_open"]["by_name"] == "Demo Flint"


def test_other_steps_are_another_guide(flint) -> None:
    first = opened(flint).json()
    second = opened(flint, answers={"soil": "yes", "securement": "keep"}).json()

    assert second["run"] != first["run"]
    assert "D12" in [s["id"] for s in second["steps"]]


def test_a_guide_of_yesterday_is_nobody_s_work(flint, clock) -> None:
    first = opened(flint).json()
    clock.at += timedelta(days=1)
    second = opened(flint).json()

    assert second["run"] != first["run"]
    assert second["also_open"] is None


def test_what_nobody_answers_takes_the_longer_branch_and_says_so(flint) -> None:
    bundle = opened(flint, answers={}).json()

    steps = [s["id"] for s in bundle["steps"]]
    assert {"D12", "SEC7", "SEC17"} <= set(steps)
    assert bundle["plan"]["cautions"][:2] == [
        "Whether the site is soiled was not said: the steps wash it.",
        "Whether the securement is changed was not said: the steps change it.",
    ]


@pytest.mark.parametrize(
    ("assistant", "code"),
    [
        ("", "guide-no-assistant"),
        ("s-flint", "guide-same-person"),
        ("s-onyx", "guide-no-such-person"),
    ],
)
def test_a_change_takes_two_people_of_the_ward(flint, assistant, code) -> None:
    assert codes(opened(flint, assistant=assistant)) == [code]


def test_an_emergency_waits_for_nobody(flint) -> None:
    answer = opened(flint, procedure="re-cover", assistant="")

    assert answer.status_code == 201
    assert answer.json()["people"]["assistant"] is None


def test_every_fault_comes_at_once(flint) -> None:
    answer = opened(flint, procedure="port-needle-change", assistant="")

    assert codes(answer) == ["guide-no-assistant", "guide-wrong-line"]


def test_an_unknown_procedure_is_named(flint) -> None:
    assert codes(opened(flint, procedure="tea")) == ["policy-no-such-procedure"]


def test_without_a_sign_in_the_answer_is_json(client: Client, hospital) -> None:
    for answer in (
        opened(client),
        client.get("/guide/token"),
        client.get("/guide/runs/x/bundle"),
        client.get("/guide/practice/bundle"),
    ):
        assert (answer.status_code, answer.json()) == (401, {"status": "sign-in"})


def test_another_ward_s_line_is_not_guided(signed_in, flint) -> None:
    run = opened(flint).json()["run"]
    stranger = signed_in("onyx")

    assert opened(stranger).json() == {"status": "not-yours"}
    assert stranger.get(f"/guide/runs/{run}/bundle").status_code == 403
    assert opened(flint, line="l-9").status_code == 404
    assert flint.get("/guide/runs/none/bundle").status_code == 404


def test_what_is_no_table_is_refused(flint) -> None:
    deep = '{"a": ' * 30 + "1" + "}" * 30
    huge = json.dumps({"a": "x" * 3_000_000})
    for sent in (
        "[1]", "{", "[" * 100_000, '{"a": 1e999}', '{"a": "\\ud800"}', deep, huge
    ):  # fmt: skip
        answer = flint.post("/guide/runs/", sent, content_type="application/json")
        assert (answer.status_code, answer.json()) == (422, {"status": "not-json"})


def test_a_sender_names_its_token(signed_in) -> None:
    client = signed_in("flint", enforce_csrf_checks=True)
    refused = opened(client)
    token = client.get("/guide/token").json()["token"]
    answer = client.post(
        "/guide/runs/", ASKED, content_type="application/json",
        headers={"X-CSRFToken": token},
    )  # fmt: skip

    assert (refused.status_code, refused.json()) == (403, {"status": "stale-token"})
    assert answer.status_code == 201


def test_one_who_is_signed_out_is_told_so_before_the_token(hospital) -> None:
    client = Client(enforce_csrf_checks=True)

    assert opened(client).json() == {"status": "sign-in"}


def test_practice_has_an_invented_child_and_no_run(flint) -> None:
    bundle = flint.get("/guide/practice/bundle?seed=7").json()

    assert bundle["run"] == "practice"
    assert bundle["line"]["child"] == "Practice child"
    assert bundle["practice"]["seed"] == 7
    assert not GuideRun.objects.exists()


def test_a_guide_of_a_policy_that_is_gone_is_prepared_again(flint, monkeypatch) -> None:
    run = opened(flint).json()["run"]
    record = RunRepository().run(run)
    policy = {**record.head["plan"]["policy"], "digest": "other"}
    head = {**record.head, "plan": {**record.head["plan"], "policy": policy}}
    older = replace(record, head=head)
    monkeypatch.setattr(RunRepository, "run", lambda *_: older)

    assert codes(flint.get(f"/guide/runs/{run}/bundle")) == ["guide-old-policy"]
