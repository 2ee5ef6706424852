"""Walk three planted facts the whole way, and print what becomes of them, as JSON.

It is run by `test_a_fact_in_three_files` in a copy of the package in which a yes or no
of the child (``bleeds_easily``), one of the line (``repaired``) and a word of the child
(``sleeps``) are planted.
"""

from __future__ import annotations

import json
import sys
import traceback
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from shutil import copytree
from typing import TYPE_CHECKING, Any

import z3

from lumenkeep.core.entries import kind_of, line_state
from lumenkeep.core.entries.registry import every_kind
from lumenkeep.core.model.entry import Entry
from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import Situation, load_policy
from lumenkeep.core.policy.cell import Cells
from lumenkeep.core.policy.files import SHIPPED_FOLDER
from lumenkeep.core.policy.solver import epochs_from
from lumenkeep.core.policy.solver.answers import SymbolicAnswer
from lumenkeep.core.policy.solver.counterexample import example, ordinary
from lumenkeep.core.policy.solver.grid import Grid
from lumenkeep.core.policy.vocabulary import FACTS
from lumenkeep.files.case.case_file import case_from_mapping
from lumenkeep.files.case.mapping import case_as_mapping
from lumenkeep.files.case.schema import case_schema
from lumenkeep.text.policy.child import child_in_words
from lumenkeep.text.policy.decision_chart import decision_chart
from lumenkeep.text.policy.words import when_words
from lumenkeep.ward.chart.pages.facts import CHARTED_BY_FORM, FACT_KINDS, child_facts
from lumenkeep.ward.chart.store.state_json import FORMAT, from_json, to_json

if TYPE_CHECKING:
    from collections.abc import Callable

    from lumenkeep.core.policy import Policy

RULES = """
[[exclude]]
id = "gel-bleeds-easily"
because = "A gel pad hides a bleed."
source = "common-practice"
bars = ["transparent-chg-gel"]
when = [{ bleeds_easily = { is = ["yes"] } }]

[[exclude]]
id = "gel-repaired"
because = "A gel pad hides a repair."
source = "common-practice"
bars = ["transparent-chg-gel"]
when = [{ repaired = { is = ["yes"] } }]

[[exclude]]
id = "gel-sleeps"
because = "A gel pad comes loose on a child who turns."
source = "common-practice"
bars = ["transparent-chg-gel"]
when = [{ sleeps = { is = ["restless"] } }]
"""
AT = datetime(2026, 12, 1, 12, tzinfo=UTC)
WHOLE = {
    "child": {
        "born": "2020-05-04T08:00:00+00:00",
        "gestation_at_birth": "39w0d",
        "weights": [{"at": "2026-11-30T08:00:00+00:00", "g": 20000}],
        "sensitivities": [],
        "skin_at_site": "intact",
        "unit": "ward",
        "sleeps": "still",
    },
    "line": {"kind": "picc", "site": "upper-arm", "lumens": 1, "tunnelled": False},
}


def said(bleeds: bool | None, repaired: bool | None) -> dict[str, Any]:
    """Return a whole case; a fact that is None is left out."""
    child = {} if bleeds is None else {"bleeds_easily": bleeds}
    line = {} if repaired is None else {"repaired": repaired}
    return {"child": WHOLE["child"] | child, "line": WHOLE["line"] | line}


def entries() -> list[Entry]:
    """Return a chart on which both facts are stated."""
    told: list[tuple[str | None, str, dict[str, Any]]] = [
        ("l-1", "line-inserted", {"kind": "picc", "site": "upper-arm"}),
        (None, "bleeding", {"easily": True}),
        ("l-1", "line-repair", {"repaired": True}),
    ]
    return [
        Entry(n, "c-1", line, kind, at, at, "s-1", "own", None, body)
        for n, (line, kind, body) in enumerate(told, 1)
        for at in (AT + timedelta(hours=n),)
    ]


def the_case_file_is_read_and_written_back(_: Policy) -> None:
    case = case_from_mapping(said(bleeds=True, repaired=False), "case")

    assert case.child.bleeds_easily is True  # type: ignore[attr-defined]
    assert case.line.repaired is False  # type: ignore[attr-defined]
    assert case_from_mapping(case_as_mapping(case), "case") == case


def the_schema_of_a_case_has_both(_: Policy) -> None:
    tables = case_schema()["properties"]
    keys = {t: tables[t]["anyOf"][1]["properties"] for t in ("child", "line")}

    assert keys["child"]["bleeds_easily"]["anyOf"][1] == {"type": "boolean"}
    assert keys["line"]["repaired"]["anyOf"][1] == {"type": "boolean"}
    assert "repaired" not in keys["child"]


def each_is_charted_by_a_form(_: Policy) -> None:
    for name, kind_id in (("bleeds_easily", "bleeding"), ("repaired", "line-repair")):
        kind = kind_of(kind_id)

        assert kind is every_kind()[kind_id]
        assert kind.form is not None
        assert FACT_KINDS[name] == kind_id


def the_chart_states_them_and_since_when(_: Policy) -> None:
    state = line_state(entries(), AT + timedelta(days=1), UTC)
    since = dict(state.case.known_since)

    assert state.case.child.bleeds_easily is True  # type: ignore[attr-defined]
    assert state.case.line.repaired is True  # type: ignore[attr-defined]
    assert since["bleeds_easily"] == AT + timedelta(hours=2)
    assert since["repaired"] == AT + timedelta(hours=3)


def the_stored_state_keeps_them_in_a_format_of_its_own(_: Policy) -> None:
    state = line_state(entries(), AT + timedelta(days=1), UTC)

    assert from_json(to_json(state), UTC) == state
    assert sys.argv[2] != FORMAT


def a_page_shows_the_childs(_: Policy) -> None:
    charted = entries()
    state = line_state(charted, AT + timedelta(days=1), UTC)
    known = child_facts(state.case, charted, AT + timedelta(days=1), UTC)
    none = line_state(charted[:1], AT + timedelta(days=1), UTC)
    unknown = child_facts(none.case, charted[:1], AT + timedelta(days=1), UTC)

    [row] = [one for one in known if one.label == "Bleeds easily"]
    [asked] = [one for one in unknown if one.label == "Bleeds easily"]
    assert (row.value, row.note[:7], row.is_unknown) == ("Yes", "charted", False)
    assert (asked.is_unknown, asked.charts_as) == (True, "bleeding")
    assert "bleeding" in CHARTED_BY_FORM


def rules_judge_them_and_the_plan_asks(policy: Policy) -> None:
    def plan(bleeds: bool | None, repaired: bool | None) -> tuple[str, set[str]]:
        case = case_from_mapping(said(bleeds, repaired), "case")
        found = plan_change(case, AT, policy)
        assert found.dressing is not None
        return found.dressing.kind, {one.fact for one in found.questions}

    worn, asked = plan(bleeds=False, repaired=False)
    assert (worn, asked & {"bleeds_easily", "repaired"}) == (
        "transparent-chg-gel",
        set(),
    )
    assert plan(bleeds=True, repaired=False)[0] != "transparent-chg-gel"
    assert plan(bleeds=False, repaired=True)[0] != "transparent-chg-gel"
    assert "bleeds_easily" in plan(bleeds=None, repaired=False)[1]
    assert "repaired" in plan(bleeds=False, repaired=None)[1]
    assert FACTS["repaired"].ask == "Was the line repaired?"


def no_cell_holds_two_unlike_children(policy: Policy) -> None:
    cells = Cells(policy.on(AT.date()))
    told = ((None, None), (True, None), (False, None), (None, True), (None, False))

    found = {
        cells.of(Situation(case_from_mapping(said(*one), "case"), AT)) for one in told
    }
    assert len(found) == len(told)


def a_proof_takes_every_answer_and_writes_it_down(policy: Policy) -> None:
    answer = SymbolicAnswer(policy.on(AT.date()))
    child = answer.child
    [epoch, *_] = epochs_from(AT.date(), policy)
    for code, word in ((0, True), (1, False)):
        solver = z3.Solver()
        solver.add(*child.assumptions, child.of_this_world)
        solver.add(child.choice_known["bleeds_easily"] == code)
        solver.add(child.choice_known["repaired"] == code)
        shown = example(solver, child, epoch)

        assert shown is not None
        assert shown.case["child"]["bleeds_easily"] is word
        assert shown.case["line"]["repaired"] is word
        read = case_from_mapping(shown.case, "case")
        assert read.line.repaired is word  # type: ignore[attr-defined]
    solver = z3.Solver()
    solver.add(*child.assumptions, child.of_this_world)
    plain = ordinary(solver, child, epoch)
    assert plain is not None
    assert plain[0].case["child"]["bleeds_easily"] is False
    assert plain[0].case["line"]["repaired"] is False


def a_comparison_cuts_children_by_them(policy: Policy) -> None:
    book = policy.on(AT.date())
    [epoch, *_] = epochs_from(AT.date(), policy)
    rules = [live for live in book.exclusions if live.rule.id.startswith("gel-")]
    grid = Grid([book], rules, epoch)
    [of_child] = grid.numbers_of("bleeds_easily")
    point = grid.nearest(of_child, 0)

    case, _ = grid.case(point)
    assert case["child"]["bleeds_easily"] is True
    assert "repaired" in case["line"]


def a_word_goes_the_same_way(policy: Policy) -> None:
    case = {"child": {**WHOLE["child"], "sleeps": "restless"}, "line": WHOLE["line"]}
    known = case_from_mapping(case, "case")
    at = AT + timedelta(hours=1)
    told = Entry(1, "c-1", None, "sleep", at, at, "s-1", "own", None, {"how": "still"})
    state = line_state([told], at, UTC)
    book = policy.on(AT.date())
    rules = {live.rule.id: live.when for live in book.exclusions}
    rows = {row.label: row.value for row in child_facts(state.case, [told], at, UTC)}
    plan = plan_change(known, AT, policy)
    answer = SymbolicAnswer(book)
    solver = z3.Solver()
    solver.add(*answer.child.assumptions, answer.child.of_this_world)
    solver.add(answer.child.choice_known["sleeps"] == 1)
    [epoch, *_] = epochs_from(AT.date(), policy)
    shown = example(solver, answer.child, epoch)

    assert case_from_mapping(case_as_mapping(known), "case") == known
    assert dict(state.case.known_since)["sleeps"] == at
    assert rows["How the child sleeps"] == "Still"
    assert plan.dressing is not None
    assert plan.dressing.kind != "transparent-chg-gel"
    assert shown is not None
    assert shown.case["child"]["sleeps"] == "restless"
    assert when_words(rules["gel-sleeps"], book) == "how the child sleeps: restless"
    assert "How the child sleeps: restless." in child_in_words(case, AT.isoformat())


def sentences_say_them(policy: Policy) -> None:
    book = policy.on(AT.date())
    rules = {live.rule.id: live.when for live in book.exclusions}
    known = child_in_words(said(bleeds=True, repaired=True), AT.isoformat())
    unknown = child_in_words(said(bleeds=None, repaired=None), AT.isoformat())
    lines = [line for node in decision_chart(book).nodes for line in node.lines]

    assert when_words(rules["gel-bleeds-easily"], book) == "bleeding easily"
    assert when_words(rules["gel-repaired"], book) == "the line was repaired"
    assert "Bleeds easily: yes." in known
    assert "Line repaired: yes." in known
    assert "bleeds easily" in unknown
    assert "line repaired" in unknown
    assert any("bleeding easily" in line for line in lines)
    assert any("the line was repaired" in line for line in lines)


STEPS: tuple[Callable[[Policy], None], ...] = (
    the_case_file_is_read_and_written_back,
    the_schema_of_a_case_has_both,
    each_is_charted_by_a_form,
    the_chart_states_them_and_since_when,
    the_stored_state_keeps_them_in_a_format_of_its_own,
    a_page_shows_the_childs,
    rules_judge_them_and_the_plan_asks,
    no_cell_holds_two_unlike_children,
    a_proof_takes_every_answer_and_writes_it_down,
    a_comparison_cuts_children_by_them,
    a_word_goes_the_same_way,
    sentences_say_them,
)


def own_set(folder: Path) -> Policy:
    """Return a set with rules that speak of both facts."""
    own = folder / "own"
    copytree(SHIPPED_FOLDER / "quillmere", own)
    (own / "planted.toml").write_text(RULES, encoding="utf-8")
    return load_policy(str(own))


def main() -> None:
    """Walk, and print what went wrong at each step, empty where nothing did."""
    policy = own_set(Path(sys.argv[1]))
    policy.on(date(2026, 12, 1))
    found = {}
    for step in STEPS:
        try:
            step(policy)
            found[step.__name__] = ""
        except Exception:
            found[step.__name__] = traceback.format_exc()
    sys.stdout.write(json.dumps(found))


if __name__ == "__main__":
    main()
