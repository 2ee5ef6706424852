"""How the parts of a plan meet: sets of the tests, built upon the demo hospital's."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from lumenkeep.core.planning import plan_change
from lumenkeep.core.planning.prepared import prepare
from lumenkeep.core.planning.skeleton import skeleton
from lumenkeep.core.policy import Situation, load_policy
from lumenkeep.files.case.case_file import case_from_mapping

if TYPE_CHECKING:
    from pathlib import Path

    from lumenkeep.core.planning import Plan

AT = datetime(2026, 3, 5, 9, 30, tzinfo=UTC)
SIX_YEARS = AT - timedelta(days=6 * 366)
HEAD = """
[set]
id = "own"
title = "A set of the tests"
version = "7"
extends = "quillmere"
call = "the ward"
"""
SAID = 'because = "So it is."\nsource = "common-practice"\n'


def written(folder: Path, text: str, head: str = HEAD) -> str:
    (folder / "set.toml").write_text(head + text, encoding="utf-8")
    return str(folder)


def case(who: dict[str, Any] | None = None, **line: Any) -> Any:
    child = {
        "born": SIX_YEARS.isoformat(),
        "gestation_at_birth": "39w0d",
        "weights": [{"at": AT.isoformat(), "g": 20_000}],
        "sensitivities": [],
        "skin_at_site": "intact",
        "unit": "ward",
    } | (who or {})
    hung = {"kind": "picc", "site": "upper-arm", "dressing": {"findings": []}} | line
    return case_from_mapping({"child": child, "line": hung}, "case")


def planned(
    who: dict[str, Any] | None = None, policy: str = "quillmere", **line: Any
) -> Plan:
    return plan_change(case(who, **line), AT, load_policy(policy))


CHG = {"sensitivities": ["chlorhexidine"]}
BOTH = {"sensitivities": ["chlorhexidine", "iodine"]}


def test_a_plan_names_its_set_and_its_instant() -> None:
    plan = planned()

    policy = load_policy("quillmere")
    assert (plan.policy_set, plan.policy_title, plan.policy_version) == (
        "quillmere",
        policy.title,
        policy.version,
    )
    assert plan.at == AT
    assert plan.referred_by == ()


def test_the_rules_are_those_of_the_day_in_the_childs_zone() -> None:
    policy = load_policy("quillmere")
    asked: list[date] = []

    class Noting:
        def __getattr__(self, name: str) -> Any:
            return getattr(policy, name)

        def on(self, day: date) -> Any:
            asked.append(day)
            return policy.on(day)

    noting: Any = Noting()
    late = datetime(2026, 3, 5, 2, 0, tzinfo=UTC)
    plan_change(replace(case(), zone=ZoneInfo("America/New_York")), late, noting)

    assert asked == [date(2026, 3, 4)]


# ---------------------------------------------------------------- the sentence


def test_the_first_choice_bars_nothing_in_the_sentence() -> None:
    assert planned().sentence == (
        "Two people. Chlorhexidine 2 % in alcohol. "
        "Clear film with chlorhexidine gel pad."
    )


def test_a_substance_that_the_agent_itself_holds_is_not_called_barred(
    tmp_path: Path,
) -> None:
    """The second is chlorhexidine too, without the alcohol of the first."""
    head = HEAD + (
        'antiseptics = ["chlorhexidine-alcohol", "chlorhexidine-aqueous", '
        '"povidone-iodine"]\n'
    )
    bars = (
        f'[[exclude]]\nid = "no-alcohol"\n{SAID}bars = ["chlorhexidine-alcohol"]\n'
        f'[[exclude]]\nid = "no-water"\n{SAID}bars = ["chlorhexidine-aqueous"]\n'
        'when = [{ sensitivities = { includes = ["chlorhexidine"] } }]\n'
    )
    policy = written(tmp_path, bars, head)

    second, third = planned(None, policy), planned(CHG, policy)

    assert second.antiseptic is not None
    assert second.antiseptic.agent == "chlorhexidine-aqueous"
    assert "No " not in second.sentence
    assert third.sentence.endswith(" No chlorhexidine.")
    assert third.sentence.count("No ") == 1


# ---------------------------------------------------------------- stopping


REFER = (
    f'[[refer]]\nid = "ports"\n{SAID}call = "the port team"\n'
    'when = [{ line_kind = { is = ["port"] } }]\n'
    f'[[refer]]\nid = "pads"\n{SAID}'
    'when = [{ unit = { is = ["intensive-care"] } }]\n'
)


def test_a_referral_stops_whatever_else_is_open(tmp_path: Path) -> None:
    open_ = {"weights": [], "gestation_at_birth": None, "born": "2026-02-20"}
    policy = written(tmp_path, REFER)

    plan = planned(open_, policy, kind="port", site=None)

    assert (plan.verdict, plan.questions, plan.supplies) == ("stop", (), ())
    assert (plan.chart, plan.dressing, plan.antiseptic) == ((), None, None)
    assert plan.sentence.endswith("Call the port team.")
    assert (plan.referred_by, plan.stop_because) == (("ports",), ("So it is.",))
    assert "ports" in {rule.rule for rule in plan.fired}


def test_a_referral_without_a_call_of_its_own_calls_the_sets(tmp_path: Path) -> None:
    policy = written(tmp_path, REFER)

    only, both = (
        planned({"unit": "intensive-care"}, policy, kind=kind)
        for kind in ("picc", "port")
    )

    assert (only.call, only.referred_by) == ("the ward", ("pads",))
    assert only.sentence.endswith("Call the ward.")
    assert (both.call, both.referred_by) == ("the port team", ("ports", "pads"))
    assert planned(None, policy).call is None


def test_a_stop_gives_the_reasons_that_bar_an_antiseptic_and_no_others() -> None:
    plan = planned({**BOTH, "skin_at_site": "broken"})

    assert plan.stop_because == (
        "Every antiseptic of this policy is barred for this child.",
        "Allergic to chlorhexidine: no scrub, no dressing and no bath with it.",
        "The skin at the site is broken.",
        "Allergic to iodine.",
    )
    assert "film-broken-skin" in {e.rule for e in plan.not_for_this_child}


# ---------------------------------------------------------------- people


def test_the_first_staffing_that_may_apply_counts(tmp_path: Path) -> None:
    roles = "".join(
        f'[[staffing.roles]]\nid = "{id_}"\nlabel = "l"\ndoes = "d"\ngloves = "g"\n'
        for id_ in ("operator", "assistant")
    )
    three = (
        '[number.three]\nmeans = "m"\nunit = "count"\n'
        'values = [{ from = 2024-01-01, value = 3, source = "common-practice" }]\n'
    )

    def staffing(id_: str, staff: str, unit: str) -> str:
        return (
            f'[[staffing]]\nid = "{id_}"\n{SAID}staff = "{staff}"\n'
            'masks_within = "mask-radius"\n'
            f'when = [{{ unit = {{ is = ["{unit}"] }} }}]\n{roles}'
        )

    policy = written(
        tmp_path,
        three
        + staffing("two-people", "staff", "ward")
        + staffing("more", "three", "intensive-care"),
    )

    def people(unit: str | None) -> int:
        return planned({"unit": unit}, policy).staff

    assert (people("ward"), people("intensive-care")) == (2, 3)
    assert (people("newborn-intensive-care"), people(None)) == (2, 2)
    assert planned({"unit": "ward"}, policy).roles[0].label == "l"


# ---------------------------------------------------------------- the dressing


def test_an_open_rule_on_a_dressing_is_asked_about_without_blocking(
    tmp_path: Path,
) -> None:
    bars = (
        f'[[exclude]]\nid = "pad-on-the-ward"\n{SAID}bars = ["transparent-chg-gel"]\n'
        'when = [{ unit = { is = ["ward"] } }]\n'
    )

    plan = planned({"unit": None}, written(tmp_path, bars))

    assert plan.verdict == "plan"
    assert [(q.fact, q.rules, q.blocks) for q in plan.questions] == [
        ("unit", ("pad-on-the-ward",), False)
    ]
    assert plan.dressing is not None
    assert plan.dressing.kind == "transparent"


def test_a_supply_may_go_with_the_dressing_planned(tmp_path: Path) -> None:
    supply = (
        f'[[supply]]\nid = "pad-press"\n{SAID}item = "pad-press"\nlabel = "A press"\n'
        'count = { value = 1, unit = "count", from = 2024-01-01, '
        'source = "common-practice" }\n'
        'when = [{ dressing = { is = ["transparent-chg-gel"] } }]\n'
    )
    policy = written(tmp_path, supply)

    def pressed(who: dict[str, Any] | None) -> list[str]:
        found = planned(who, policy).supplies
        return [line.because for line in found if line.item == "pad-press"]

    assert pressed(None) == ["So it is."]
    assert pressed(None) == ["So it is."]
    assert pressed(CHG) == []


def test_with_no_dressing_what_speaks_of_one_is_open_not_settled(
    tmp_path: Path,
) -> None:
    """A stop plans neither agent nor dressing: a note on either may still matter."""
    note = (
        f'[[note]]\nid = "n-{{0}}"\n{SAID}kind = "caution"\n'
        'when = [{{ {0} = {{ {1} = ["{2}"] }}, site = {{ is = ["chest"] }} }}]\n'
    )
    rules = "".join(
        note.format(*said)
        for said in (
            ("dressing", "is", "gauze"),
            ("agent", "is", "povidone-iodine"),
        )
    )
    policy = written(tmp_path, rules)

    stopped = planned(BOTH, policy, site=None)
    elsewhere = planned(BOTH, policy)

    assert {r.rule for r in stopped.cautions} >= {"n-dressing", "n-agent"}
    assert not {r.rule for r in elsewhere.cautions} & {"n-dressing", "n-agent"}


def test_a_note_to_look_at_is_told_among_the_looks() -> None:
    plan = planned()

    looks, cautions = ({r.rule for r in rs} for rs in (plan.looks, plan.cautions))
    assert "fully-dry-before-covering" in looks
    assert "chlorhexidine-allergy-alert" in cautions
    assert not looks & cautions


def test_an_answer_is_told_by_verdict_agents_and_dressing() -> None:
    book = load_policy("quillmere").on(AT.date())
    bones = skeleton(prepare(book), Situation(case(), AT))

    assert bones.answer() == (
        "plan",
        "chlorhexidine-alcohol",
        "chlorhexidine-alcohol",
        "transparent-chg-gel",
    )
    assert replace(bones, cover=None).answer()[3] is None
    assert bones.answer() != replace(bones, cover=None).answer()


# ---------------------------------------------------------------- one after another


def test_a_plan_does_not_depend_on_the_plans_before_it() -> None:
    """What is kept for one cell is not another's, also with the same gloves."""
    asked: list[tuple[dict[str, Any], dict[str, Any]]] = [
        ({}, {}),
        (CHG, {}),
        ({}, {"site": "femoral"}),
        ({"weights": []}, {}),
        ({"born": "2026-02-20T08:00:00Z", "weights": []}, {}),
        (
            {
                "born": "2026-02-20T08:00:00Z",
                "weights": [{"at": AT.isoformat(), "g": 3500}],
            },
            {},
        ),
        (BOTH, {}),
    ]

    def alone(who: dict[str, Any], line: dict[str, Any]) -> Plan:
        prepare.cache_clear()
        return planned(who, **line)

    first = [alone(who, line) for who, line in asked]
    prepare.cache_clear()
    forth = [planned(who, **line) for who, line in asked]
    back = [planned(who, **line) for who, line in reversed(asked)]

    assert forth == first
    assert back == first[::-1]
