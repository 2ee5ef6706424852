"""What each guided procedure leaves on the chart, done, stopped or left."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

import pytest
from tests.fakes.account import VALUES, account_of, row
from tests.fakes.at_ward import PEOPLE, Everybody, at_ward
from tests.fakes.chart import FakeChart, chart_with_a_line
from tests.fakes.clock import FixedClock
from tests.fakes.runs import FakeRuns
from tests.fakes.ways import NoSlips

from lumenkeep.core.due import due_tasks
from lumenkeep.core.policy import load_policy
from lumenkeep.errors import ChartError
from lumenkeep.ward.chart.line_at_hand import line_at_hand
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.guide.account.drafts import (
    ENTRY_OF_PROCEDURE,
    AccountContext,
    drafts_of,
)
from lumenkeep.ward.guide.account.read import read_account
from lumenkeep.ward.guide.account.send import AccountTaken, send_account
from lumenkeep.ward.guide.open_guide import Wanted, open_guide

if TYPE_CHECKING:
    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.acting import WardContext

FLINT = PEOPLE["s-flint"]


@dataclass
class Ward:
    """A ward with one line, on which guides are opened and told of."""

    clock: FixedClock = field(default_factory=FixedClock)
    runs: FakeRuns = field(default_factory=FakeRuns)
    chart: FakeChart = field(init=False)
    line: dict[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.chart = chart_with_a_line(self.clock, **self.line)

    @property
    def at(self) -> WardContext:
        """What its actions work with."""
        return at_ward(self.chart, self.clock, staff=Everybody())

    def open(self, procedure: str, **answers: str) -> dict[str, Any]:
        wanted = Wanted("l-1", procedure, FLINT, "s-garnet", answers, "", "")
        found = open_guide(self.at, self.runs, NoSlips(), wanted=wanted, key="run-1")
        assert found.bundle is not None
        self.clock.move(minutes=40)
        return found.bundle

    def send(self, account: dict[str, Any]) -> AccountTaken:
        run = self.runs.kept[account["run"]]
        return send_account(self.at, self.runs, run=run, sent=account, by=FLINT)

    def entries(self) -> list[Entry]:
        return list(self.chart.written("run-1"))


def done(procedure: str, values: dict[str, Any], **line: Any) -> list[Entry]:
    ward = Ward(line=line)
    bundle = ward.open(procedure)
    taken = ward.send(account_of(bundle, values=values))
    assert taken.status == "written"
    return ward.entries()


def test_a_connector_change_is_charted_as_one() -> None:
    (entry,) = done("connector-change", {"note": "the red lumen"})

    assert entry.kind == "connector-change"
    assert entry.body["note"] == "the red lumen"


def test_a_set_change_names_what_runs_through_it() -> None:
    (entry,) = done("set-change", {"set-kind": "lipid", "set": "fat"})

    assert (entry.kind, entry.body["set"], entry.body["kind"]) == (
        "set-change", "fat", "lipid",
    )  # fmt: skip


def test_a_port_needle_change_is_a_new_dressing_too() -> None:
    values = {k: v for k, v in VALUES.items() if "length" not in k}
    needle, dressing = done("port-needle-change", values, kind="port", site="chest")

    assert (needle.kind, dressing.kind) == ("needle-change", "dressing-change")
    assert dressing.body["dressing"] == "transparent"
    assert dressing.body["agent"] == "chlorhexidine-alcohol"


def test_an_emergency_cover_starts_no_due_time_anew() -> None:
    ward = Ward()
    before = ward.chart.line("l-1").state
    bundle = ward.open("re-cover", findings="damp")
    ward.send(account_of(bundle, values={"findings": ["damp"], "cause": "bath"}))
    after = ward.chart.line("l-1").state
    (entry,) = ward.entries()
    tasks = due_tasks(after.case, ward.clock.at, load_policy("quillmere"))

    assert entry.kind == "re-cover"
    assert (entry.body["findings"], entry.body["cause"]) == (["damp"], "bath")
    assert after.case.line.dressing.applied == before.case.line.dressing.applied
    assert [f.kind for f in after.case.line.dressing.findings] == ["damp", "loose"]
    assert [t.is_now for t in tasks if t.task == "dressing"] == [True]


def test_a_line_that_is_out_is_charted_as_out() -> None:
    values = {"reason": "no longer needed", "tip-whole": "yes"}
    (entry,) = done("line-removal", values)

    assert entry.kind == "line-removed"
    assert (entry.body["reason"], entry.body["whole"]) == ("no longer needed", True)


def out_after(procedure: str, minutes: int) -> tuple[Ward, dict[str, Any]]:
    """Return a ward whose line came out so long after a guide, and its account."""
    ward = Ward()
    values = {**VALUES, "reason": "x", "tip-whole": "yes"}
    account = account_of(ward.open(procedure), values=values)
    at = datetime.fromisoformat(account["ended_at"]) + timedelta(minutes=minutes)
    out = Draft("c-1", "l-1", "line-removed", at, "s-x", {"reason": "order"})
    ward.chart.append([out], "quillmere")
    ward.clock.move(minutes=60)
    return ward, account


def test_a_change_told_after_the_line_came_out_is_charted_all_the_same() -> None:
    """It is no harm to a line that is out, and it was done."""
    ward, account = out_after("dressing-change", 10)
    overtaken = ward.send(account)

    assert [fact.what for fact in overtaken.changed] == [
        "The line was charted as taken out at 12:40."
    ]
    read = {**account, "acknowledged_mark": overtaken.mark}
    assert ward.send(read).status == "written"
    state = ward.chart.line("l-1").state
    assert [entry.kind for entry in ward.entries()] == ["dressing-change"]
    assert state.removed_at is not None


@pytest.mark.parametrize(
    ("procedure", "minutes"), [("dressing-change", -9), ("line-removal", 10)]
)
def test_nothing_is_done_on_a_line_that_is_out(procedure, minutes) -> None:
    ward, account = out_after(procedure, minutes)

    with pytest.raises(ChartError, match="chart-line-removed"):
        ward.send(account)
    assert ward.entries() == []


def test_what_a_newer_policy_wants_does_not_hold_up_what_was_not_asked() -> None:
    ward = Ward()
    account = account_of(ward.open("dressing-change"))
    fields = ward.runs.kept["run-1"].head["entry"]["fields"]
    fields[:] = [one for one in fields if one["field"] != "chart-tolerance"]
    values = {k: v for k, v in account["values"].items() if k != "chart-tolerance"}

    assert ward.send({**account, "values": values}).status == "written"
    (entry,) = ward.entries()
    assert "tolerance" not in entry.body


def acts_of_a_stop(account: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the acts that a tablet tells of after the step at which it was stopped."""
    return [{**account["steps"][-1], "id": name} for name in ("say", "cover-and-call")]


def stopped(procedure: str, verb: str, ending: str = "stopped") -> Entry:
    """Return the entry of a procedure that ended at the first step of a verb."""
    ward = Ward()
    bundle = ward.open(procedure)
    account = account_of(bundle, ending=ending, values={"chart-external-length": 22})
    until = [step["verb"] for step in bundle["steps"]].index(verb)
    account["steps"] = [*account["steps"][: until + 1], *acts_of_a_stop(account)]
    assert ward.send(account).status == "written"
    (entry,) = ward.entries()
    assert (
        ward.chart.line("l-1").state.changes == Ward().chart.line("l-1").state.changes
    )
    return entry


@pytest.mark.parametrize(
    ("procedure", "verb", "kind"),
    [
        ("dressing-change", "loosen", "finding"),
        ("dressing-change", "peel", "re-cover"),
        ("dressing-change", "cover", "re-cover"),
        ("dressing-change", "chart", "re-cover"),
        ("connector-change", "open-lumen", "finding"),
        ("set-change", "connect", "finding"),
        ("re-cover", "hold", "finding"),
        ("re-cover", "discard", "re-cover"),
        ("line-removal", "scrub", "re-cover"),
        ("line-removal", "pull", "re-cover"),
        ("line-removal", "press", "line-removed"),
    ],
)
def test_what_was_stopped_is_charted_as_what_it_was(procedure, verb, kind) -> None:
    entry = stopped(procedure, verb)

    assert entry.kind == kind
    assert entry.body["guide"]["ending"] == "stopped"


def test_a_line_that_would_not_come_is_not_charted_as_out() -> None:
    """The step of the pull was begun and told of, and the line is where it was."""
    entry = stopped("line-removal", "pull")

    assert entry.kind == "re-cover"
    assert entry.body["note"].endswith(
        "It ended while the line was drawn: look at the line, and chart where it is."
    )


def test_a_pull_begun_anew_after_a_slip_and_stopped_is_not_out() -> None:
    ward = Ward()
    bundle = ward.open("line-removal")
    account = account_of(bundle, ending="stopped", values={})
    verbs = [step["verb"] for step in bundle["steps"]]
    until = verbs.index("pull")
    pull = account["steps"][until]
    slip = {
        "slip": "child-distressed", "step": pull["id"], "at": bundle["made_at"],
        "way": ["say", "PR4"], "ended": "way-back", "spares": {},
    }  # fmt: skip
    way = [{**pull, "id": "say"}, {**pull, "id": "PR4"}]
    steps = [*account["steps"][: until + 1], *way, pull, *acts_of_a_stop(account)]
    ward.send({**account, "steps": steps, "slips": [slip]})

    assert [entry.kind for entry in ward.entries()] == ["re-cover"]


@pytest.mark.parametrize("procedure", ENTRY_OF_PROCEDURE)
@pytest.mark.parametrize("ending", ["stopped", "left"])
def test_wherever_it_is_stopped_it_is_charted_and_nothing_starts_anew(
    procedure, ending
) -> None:
    is_port = procedure == "port-needle-change"
    ward = Ward(line={"kind": "port", "site": "chest"} if is_port else {})
    bundle = ward.open(procedure)
    whole = account_of(bundle, ending=ending, values={}, confirmed=[])
    found = line_at_hand(ward.at, "l-1")
    verbs = [step["verb"] for step in bundle["steps"]]
    kinds = []
    for place in range(len(verbs)):
        rows = whole["steps"][: place + 1]
        rows = [*rows, *acts_of_a_stop({"steps": rows})]
        account = read_account({**whole, "steps": rows}, "run-1")
        run = ward.runs.kept["run-1"]
        drafts, form = drafts_of(
            AccountContext(account, run, found, ward.clock.at, "s-flint", (), {})
        )
        assert form.faults == []
        kinds += [draft.kind for draft in drafts]

    after = {"peel": "re-cover", "pull": "line-removed"}
    known = [verbs.index(verb) for verb in after if verb in verbs]
    assert len(kinds) == len(verbs)
    assert kinds[0] == "finding"
    assert set(kinds) <= {"finding", "re-cover", "line-removed"}
    assert all(kind == "finding" for kind in kinds[: min(known, default=0)])
    out = [place for place, kind in enumerate(kinds) if kind == "line-removed"]
    pull = verbs.index("pull") if "pull" in verbs else len(verbs)
    assert out == list(range(pull + 1, len(verbs)))


def test_what_was_measured_before_a_stop_is_kept() -> None:
    assert stopped("dressing-change", "scrub").body["external_length_mm"] == 22


def test_leaving_for_the_child_s_sake_is_charted_as_leaving() -> None:
    entry = stopped("dressing-change", "scrub", "left")

    assert (entry.kind, entry.body["guide"]["ending"]) == ("re-cover", "left")


def test_a_scrub_that_a_slip_cut_short_is_not_early() -> None:
    ward = Ward()
    bundle = ward.open("dressing-change")
    account = account_of(bundle)
    row(account, "D13").update(seconds=4)
    slip = {
        "slip": "swab-returns", "step": "D13", "at": bundle["made_at"],
        "way": ["say", "D13"], "ended": "way-back", "spares": {"antiseptic-swab": 3},
    }  # fmt: skip

    assert ward.send({**account, "slips": [slip]}).status == "written"
    with pytest.raises(ChartError, match="guide-early"):
        Ward.send(_again(ward), account)


def _again(ward: Ward) -> Ward:
    """Return the same ward with nothing told yet."""
    fresh = Ward(line=ward.line)
    fresh.open("dressing-change")
    return fresh


def test_the_account_keeps_what_a_reader_of_the_chart_does_not_need() -> None:
    ward = Ward()
    bundle = ward.open("set-change")
    values = {"set-kind": "plain"}
    account = account_of(bundle, values=values, pauses=[{"why": "phone"}])
    ward.send(account)
    (told,) = ward.runs.told
    (entry,) = ward.entries()

    assert told.body == account
    assert entry.body["guide"]["pauses"] == [{"why": "phone"}]
    assert "steps" not in entry.body["guide"]


def test_nobody_is_asked_for_a_name_that_says_nothing() -> None:
    """Field names of the entry are the form's, so one reader serves both."""
    ward = Ward()
    bundle = ward.open("dressing-change")
    names = [one["field"] for one in bundle["entry"]["fields"]]

    assert names == [
        "because", "findings", "agent", "dressing", "chart-site", "chart-external-length",
        "chart-stitches", "chart-tolerance", "chart-problems", "chart-action",
        "chart-outcome", "chart-arm", "skin",
    ]  # fmt: skip


def test_the_entry_that_is_read_names_what_was_put_on() -> None:
    bundle = Ward().open("dressing-change")
    fields = {one["field"]: one for one in bundle["entry"]["fields"]}

    assert fields["agent"]["value"] == bundle["chosen"]["agent"]
    assert fields["dressing"]["value"] == bundle["chosen"]["dressing"]


def test_what_two_people_say_they_put_on_is_charted_and_not_the_plan_s() -> None:
    values = {**VALUES, "agent": "povidone-iodine", "dressing": "gauze"}
    (entry,) = done("dressing-change", values)

    assert (entry.body["agent"], entry.body["dressing"]) == ("povidone-iodine", "gauze")


def test_an_agent_that_is_said_to_be_unknown_is_not_charted_as_the_plan_s() -> None:
    ward = Ward()
    bundle = ward.open("dressing-change")
    values = {**VALUES, "agent": {"unknown": "nobody saw"}}

    with pytest.raises(ChartError) as refused:
        ward.send(account_of(bundle, values=values))

    assert [fault.where for fault in refused.value.faults] == ["agent"]
