"""What a guide tells at its end: charted once, whatever the network does."""

from __future__ import annotations

import io
import json
from datetime import datetime, timedelta
from hashlib import sha256
from typing import TYPE_CHECKING, Any

import pytest
from tests.fakes.account import account_of, row
from tests.web.guide.test_open_run import opened

from lumenkeep.core.due import due_tasks
from lumenkeep.core.policy import load_policy
from lumenkeep.ward.chart.models import EntryRow
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.chart_file.carry import bounds_of_chart, carried_out
from lumenkeep.ward.chart_file.chart_file import chart_file_line, read_chart_file
from lumenkeep.ward.guide.models import GuideAccount, GuideClosing

if TYPE_CHECKING:
    from django.http import HttpResponse
    from django.test import Client

SLIP = {
    "slip": "glove-tears",
    "step": "D13",
    "at": "2026-11-25T18:20:00+00:00",
    "way": ["say", "D8b"],
    "ended": "way-back",
    "spares": {"sterile-gloves": 1},
}


@pytest.fixture
def bundle(flint: Client, clock) -> dict[str, Any]:
    """A guide that was opened half an hour ago."""
    found = opened(flint).json()
    clock.move(minutes=30)
    return found


def send(client: Client, account: dict[str, Any]) -> HttpResponse:
    return client.post(
        f"/guide/runs/{account['run']}/account",
        account,
        content_type="application/json",
    )


def codes(answer: HttpResponse) -> list[str]:
    assert answer.status_code == 422, answer.content
    return [fault["code"] for fault in answer.json()["faults"]]


def written(run: str) -> list[EntryRow]:
    return list(EntryRow.objects.filter(submission=run).order_by("part"))


def test_a_finished_change_is_charted_with_what_happened(flint, bundle) -> None:
    account = account_of(bundle, slips=[SLIP], remarks="A quiet one.")
    row(account, "D13").update(seconds=12)
    row(account, "PR11").update(seconds=11, early="the rub had dried")

    answer = send(flint, account)

    (entry,) = written(bundle["run"])
    assert answer.json()["status"] == "written"
    assert answer.json()["entries"] == [entry.pk]
    assert answer.json()["line_url"] == f"/line/l-1/?charted={entry.pk}"
    assert answer["Content-Type"] == "application/json"
    assert (entry.kind, entry.by) == ("dressing-change", "s-flint")
    assert entry.body["external_length_mm"] == 21
    assert entry.body["agent"] == "chlorhexidine-alcohol"
    assert entry.body["arm"] == "away from the body"
    told = entry.body["guide"]
    assert told["confirmed"] == ["s-flint", "s-garnet"]
    assert told["early"] == [
        {
            "step": "PR11",
            "verb": "hand-hygiene",
            "seconds": 11,
            "why": "the rub had dried",
        }
    ]
    assert told["slips"][0]["slip"] == "glove-tears"
    assert told["spares"] == {"sterile-gloves": 1}
    assert {"label": "Pain score", "value": "1"} in told["noted"]
    assert "flags" not in told


def test_the_receipt_names_the_run_and_what_it_acknowledges(flint, bundle) -> None:
    """Each receipt is for its own bytes: first, doubled, and of another tablet."""
    account = account_of(bundle)
    other = {**account, "remarks": "Told otherwise."}

    for told, status in (
        (account, "written"),
        (account, "already-written"),
        (other, "kept-beside"),
    ):
        sent = json.dumps(told, indent=1).encode()
        path = f"/guide/runs/{bundle['run']}/account"
        receipt = flint.post(path, sent, content_type="application/json").json()

        assert receipt["status"] == status
        assert receipt["run"] == bundle["run"]
        assert receipt["acknowledges"] == sha256(sent).hexdigest()
        assert receipt["entries"] == [one.pk for one in written(bundle["run"])]


def test_it_is_charted_at_the_end_of_the_covering(flint, bundle) -> None:
    account = account_of(bundle)
    send(flint, account)

    (entry,) = written(bundle["run"])
    covering = next(s["id"] for s in bundle["steps"] if s["verb"] == "cover")
    assert (
        row(account, covering)["began_at"]
        == (entry.happened_at - timedelta(seconds=5)).isoformat()
    )


def test_the_same_account_sent_again_is_one_entry(flint, bundle) -> None:
    account = account_of(bundle)
    first = send(flint, account).json()
    later = {**account, "sent_at": "2026-11-25T19:30:00+00:00", "tablet": "t-2"}

    for again in (account, later):
        answer = send(flint, again).json()
        assert answer["status"] == "already-written"
        assert answer["entries"] == first["entries"]
    assert len(written(bundle["run"])) == 1
    assert GuideAccount.objects.count() == 1


def test_another_tablet_s_story_is_kept_beside(flint, signed_in, bundle) -> None:
    send(flint, account_of(bundle))
    other = account_of(bundle, tablet="t-2", bare_seconds=500, confirmed=[])

    answers = [send(signed_in("garnet"), other).json()["status"] for _ in range(2)]

    assert answers == ["kept-beside", "kept-beside"]
    assert len(written(bundle["run"])) == 1
    assert list(GuideAccount.objects.values_list("fate", "by")) == [
        ("written", "s-flint"),
        ("beside", "s-garnet"),
    ]


def test_a_new_fact_must_be_acknowledged_first(flint, hospital, clock, bundle) -> None:
    known = {"known": ["chlorhexidine"]}
    hospital.append(
        [Draft("c-1", None, "sensitivities", clock.at, "s-x", known)], "quillmere"
    )
    refused = send(flint, account_of(bundle))

    said = refused.json()
    assert (refused.status_code, said["status"]) == (409, "facts-changed")
    assert said["changed"] == [
        {
            "what": "A sensitivity to chlorhexidine was charted at 12:30.",
            "at": "2026-11-25T18:30:00+00:00",
            "plan_differs": True,
        }
    ]
    assert written(bundle["run"]) == []

    answer = send(flint, account_of(bundle, acknowledged_mark=said["mark"]))
    assert answer.json()["status"] == "written"
    (entry,) = written(bundle["run"])
    assert entry.body["guide"]["acknowledged"] is True


def test_what_was_measured_is_kept_though_the_plan_would_now_stop(
    flint, hospital, clock, bundle
) -> None:
    known = {"known": ["chlorhexidine", "iodine", "alcohol"]}
    barred = Draft("c-1", None, "sensitivities", clock.at, "s-x", known)
    hospital.append([barred], "quillmere")
    mark = send(flint, account_of(bundle)).json()["mark"]

    answer = send(flint, account_of(bundle, acknowledged_mark=mark))

    assert answer.json()["status"] == "written"
    (entry,) = written(bundle["run"])
    assert entry.body["external_length_mm"] == 21
    assert entry.body["stitches"] == 0


def test_a_look_at_the_site_meanwhile_changes_nothing(
    flint, hospital, clock, bundle
) -> None:
    hospital.append(
        [Draft("c-1", "l-1", "site-check", clock.at, "s-x", {})], "quillmere"
    )

    facts = flint.get(
        f"/guide/runs/{bundle['run']}/facts?mark={bundle['facts_mark']}"
    ).json()

    assert facts["changed"] == []
    assert send(flint, account_of(bundle)).json()["status"] == "written"


def test_the_guide_can_ask_what_is_new(flint, hospital, clock, bundle) -> None:
    path = f"/guide/runs/{bundle['run']}/facts?mark={bundle['facts_mark']}"
    assert flint.get(path).json() == {
        "mark": bundle["facts_mark"], "changed": [], "sent": False,
        "do_not_use": [],
    }  # fmt: skip

    hospital.append(
        [Draft("c-1", None, "weight", clock.at, "s-x", {"g": 16_500.0})], "quillmere"
    )
    news = flint.get(path).json()
    assert [fact["plan_differs"] for fact in news["changed"]] == [False]
    assert (
        flint.get(f"{path.split('=', maxsplit=1)[0]}={news['mark']}").json()["changed"]
        == []
    )

    send(flint, account_of(bundle, acknowledged_mark=news["mark"]))
    assert flint.get(path).json()["sent"] == {
        "by": "Demo Flint", "at": "2026-11-25T18:30:00+00:00",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"confirmed": [{"person": "s-flint", "at": "2026-11-25T18:30:00+00:00"}]},
         "guide-unconfirmed"),
        ({"assistant": "s-chalk"}, "guide-other-people"),
        ({"ending": "fine"}, "guide-bad-account"),
        ({"format": 2}, "guide-bad-account"),
        ({"steps": "none"}, "guide-bad-account"),
        ({"ended_at": "noon"}, "guide-bad-account"),
        ({"bare_seconds": -1}, "guide-bad-account"),
        ({"values": {}}, "chart-missing"),
    ],
)  # fmt: skip
def test_what_cannot_be_an_entry_is_refused_in_words(
    flint, bundle, change, code
) -> None:
    assert code in codes(send(flint, account_of(bundle, **change)))
    assert written(bundle["run"]) == []
    assert not GuideAccount.objects.exists()


def test_a_clock_passed_early_needs_its_reason_and_wet_skin_no_yes(
    flint, bundle
) -> None:
    account = account_of(bundle)
    row(account, "D13").update(seconds=12)
    row(account, "D15").update(looked=[{"at": "x", "answer": "no"}])

    answer = send(flint, account)

    assert codes(answer) == ["guide-early", "guide-not-looked"]
    first = answer.json()["faults"][0]
    assert first["what"] == "Step D13 took 12 s of 30 s, and nobody said why."


def test_every_fault_of_an_account_comes_at_once(flint, bundle) -> None:
    account = account_of(bundle, confirmed=[], values={"chart-stitches": "x"})

    found = codes(send(flint, account))

    assert found.count("guide-unconfirmed") == 2
    assert {"chart-not-a-number", "chart-missing"} <= set(found)


def test_what_is_said_to_be_unknown_is_charted_as_unknown(flint, bundle) -> None:
    account = account_of(bundle)
    values = {
        **account["values"],
        "chart-external-length": {"unknown": "the film was opaque"},
    }

    assert send(flint, {**account, "values": values}).status_code == 200
    (entry,) = written(bundle["run"])
    assert "external_length_mm" not in entry.body
    assert entry.body["guide"]["unknown"] == [
        {"field": "chart-external-length", "why": "the film was opaque"}
    ]


def test_signs_that_nobody_sees_are_dropped_from_what_a_guide_tells(
    flint, bundle
) -> None:
    pause = {"from": 1, "to": 2, "why": "\u202ethe mother\u200f came"}
    account = account_of(bundle, pauses=[pause], remarks="\u2066bed 12")
    account["tablet"] = "t\u202e1"

    assert send(flint, account).status_code == 200
    (entry,) = written(bundle["run"])
    assert entry.body["guide"]["remarks"] == "bed 12"
    assert entry.body["guide"]["pauses"][0]["why"] == "the mother came"
    assert send(flint, account).json()["status"] == "already-written"
    (kept,) = GuideAccount.objects.all()
    assert "\u202e" not in str(kept.body) + kept.tablet


def test_nothing_told_makes_the_exported_chart_unreadable(flint, bundle) -> None:
    pause = {"from": 1, "to": 2, "why": "the mother\0 came"}
    known = {"unknown": "\0the tape was stuck"}
    account = account_of(bundle, pauses=[pause], edits=[pause])
    account["values"] = {**account["values"], "chart-external-length": known}
    assert send(flint, account).status_code == 200

    text = "".join(f"{chart_file_line(one)}\n" for one in carried_out(None))

    read = read_chart_file(io.BytesIO(text.encode()), "x.jsonl", bounds_of_chart())
    told = next(one.body["guide"] for one in read if "guide" in one.body)
    assert told["pauses"][0]["why"] == "the mother came"


def test_a_clock_beyond_all_time_is_a_fault_and_no_crash(flint, bundle) -> None:
    for key in ("sent_at", "started_at", "ended_at"):
        for instant in ("9999-12-31T23:59:59+00:00", "0001-01-02T00:00:00+00:00"):
            answer = send(flint, account_of(bundle, **{key: instant}))

            assert codes(answer) == ["guide-bad-account"]


def test_steps_that_are_not_told_of_are_flagged(flint, bundle) -> None:
    account = account_of(bundle)
    account["steps"] = [s for s in account["steps"] if s["id"] not in ("D4", "D5")]

    assert send(flint, account).status_code == 200
    (entry,) = written(bundle["run"])
    assert entry.body["guide"]["flags"] == ["Not told of these steps: D4, D5."]


def stopped(bundle: dict[str, Any], at_step: str, **other: Any) -> dict[str, Any]:
    account = account_of(bundle, ending="stopped", values={}, **other)
    until = [s["id"] for s in account["steps"]].index(at_step)
    return {**account, "steps": account["steps"][: until + 1]}


def test_a_change_stopped_with_the_dressing_off_is_an_emergency_cover(
    flint, hospital, clock, bundle
) -> None:
    before = hospital.line("l-1").state
    answer = send(flint, stopped(bundle, "D10"))

    (entry,) = written(bundle["run"])
    assert answer.json()["status"] == "written"
    assert entry.kind == "re-cover"
    assert entry.body["note"] == (
        "Dressing change not finished: covered where it was open, and help was called."
    )
    state = hospital.line("l-1").state
    tasks = due_tasks(state.case, clock.at, load_policy("quillmere"))
    assert state.changes == before.changes
    assert [task.is_now for task in tasks if task.task == "dressing"] == [True]


def test_a_change_stopped_before_anything_came_off_is_no_change(flint, bundle) -> None:
    send(flint, stopped(bundle, "D4"))

    (entry,) = written(bundle["run"])
    assert (entry.kind, entry.body["findings"]) == ("finding", [])


def test_help_is_not_held_up_by_a_missing_confirmation(flint, bundle) -> None:
    account = stopped(bundle, "D10", confirmed=[])

    assert send(flint, account).status_code == 200
    (entry,) = written(bundle["run"])
    assert entry.body["guide"]["flags"] == [
        "Demo Flint has not confirmed what happened.",
        "Demo Garnet has not confirmed what happened.",
    ]


@pytest.mark.parametrize("hours", [-5, 3])
def test_a_tablet_whose_clock_is_wrong_charts_at_the_right_time(
    flint, bundle, clock, hours
) -> None:
    account = account_of(bundle)
    ahead = timedelta(hours=hours)
    for one in account["steps"]:
        one["began_at"] = _shifted(one["began_at"], ahead)
    for key in ("started_at", "ended_at"):
        account[key] = _shifted(account[key], ahead)
    right = send(flint, {**account, "sent_at": (clock.at + ahead).isoformat()})

    assert right.status_code == 200
    (entry,) = written(bundle["run"])
    assert timedelta() < clock.at - entry.happened_at < timedelta(minutes=30)
    assert entry.body["guide"]["clock_ahead_seconds"] == hours * 3600


@pytest.mark.parametrize("hours", [-5, 3])
def test_no_guide_was_done_before_it_was_opened_or_after_it_was_sent(
    flint, bundle, clock, hours
) -> None:
    account = account_of(bundle)
    for one in account["steps"]:
        one["began_at"] = _shifted(one["began_at"], timedelta(hours=hours))

    assert send(flint, account).status_code == 200
    (entry,) = written(bundle["run"])
    assert entry.happened_at == (
        clock.at if hours > 0 else clock.at - timedelta(minutes=30)
    )


def _shifted(text: str, by: timedelta) -> str:
    return (datetime.fromisoformat(text) + by).isoformat()


def test_a_guide_given_up_says_why_and_ends(flint, bundle) -> None:
    path = f"/guide/runs/{bundle['run']}/give-up"
    as_json = {"content_type": "application/json"}
    assert codes(flint.post(path, {"reason": " "}, **as_json)) == ["chart-missing"]

    for _ in range(2):
        answer = flint.post(path, {"reason": "off to theatre"}, **as_json)
        assert answer.json() == {
            "status": "given-up",
            "run": bundle["run"],
            "acknowledges": sha256(b'{"reason": "off to theatre"}').hexdigest(),
            "entries": [],
            "line_url": "/line/l-1/",
        }

    assert GuideClosing.objects.get().reason == "off to theatre"
    gone = flint.get(f"/guide/runs/{bundle['run']}/bundle")
    assert (gone.status_code, gone.json()["how"]) == (410, "given-up")
    assert opened(flint).json()["run"] != bundle["run"]


def test_what_is_charted_is_not_given_up(flint, bundle) -> None:
    send(flint, account_of(bundle))
    answer = flint.post(
        f"/guide/runs/{bundle['run']}/give-up", {"reason": "x"},
        content_type="application/json",
    )  # fmt: skip

    assert codes(answer) == ["guide-written"]


def test_what_another_tablet_did_is_charted_though_one_gave_up(flint, bundle) -> None:
    flint.post(
        f"/guide/runs/{bundle['run']}/give-up", {"reason": "x"},
        content_type="application/json",
    )  # fmt: skip

    assert send(flint, account_of(bundle)).json()["status"] == "written"


def test_a_line_taken_out_before_the_work_ended_takes_no_entry(
    flint, hospital, bundle
) -> None:
    at = datetime.fromisoformat(bundle["made_at"])
    out = Draft("c-1", "l-1", "line-removed", at, "s-x", {"reason": "done"})
    hospital.append([out], "quillmere")

    assert codes(send(flint, account_of(bundle))) == ["chart-line-removed"]


def test_an_account_is_for_the_ward_only(signed_in, flint, bundle) -> None:
    answer = send(signed_in("onyx"), account_of(bundle))

    assert (answer.status_code, answer.json()) == (403, {"status": "not-yours"})
    assert written(bundle["run"]) == []
