"""Every shipped set loads, is sourced to the last number, and its rules have edges."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from lumenkeep.core.model import (
    Birth,
    CalendarSpan,
    Case,
    Child,
    Dressing,
    Elapsed,
    Finding,
    Gestation,
    Line,
    Weight,
)
from lumenkeep.core.model import words as lists
from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import load_policy, shipped_sets

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.planning import Plan
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.conditions import LiveComparison
    from lumenkeep.core.policy.rules import Exclusion

SETS = shipped_sets()
AT = datetime(2026, 3, 5, 9, 30, tzinfo=UTC)
DAY = AT.date()
FACT_TAKEN_FROM_THE_PLAN = {"agent", "dressing", "set_kind"}

# A child and a line that no shipped rule has anything against.
PLAIN = Case(
    child=Child(
        born=Birth.at(AT - timedelta(days=6 * 366)),
        gestation_at_birth=Gestation.of(39),
        weights=(Weight(AT - timedelta(hours=1), 20_000),),
        sensitivities=frozenset(),
        skin_at_site="intact",
        unit="ward",
    ),
    line=Line(kind="picc", site="upper-arm", lumens=1, dressing=Dressing(findings=())),
)


def with_age(case: Case, limit: Elapsed | CalendarSpan, *, reached: bool) -> Case:
    """Return the case with an age at the limit, or one minute short of it."""
    born = AT - timedelta(hours=limit.nominal_hours())
    for _ in range(6):  # to the birth whose limit falls on AT
        born += AT - limit.after(born, UTC)
    born += timedelta() if reached else timedelta(minutes=1)
    weights = (Weight(AT, case.child.weights[0].grams),)
    return replace(
        case, child=replace(case.child, born=Birth.at(born), weights=weights)
    )


def with_fact(case: Case, c: LiveComparison, *, holds: bool) -> Case | None:
    """Return the case with one fact just inside, or one step past, a comparison.

    None where a word's opposite cannot be had.
    """
    child, line = case.child, case.line
    limit = c.limit
    if c.fact == "age":
        assert isinstance(limit, Elapsed | CalendarSpan)
        return with_age(case, limit, reached=(c.test == "at_least") is holds)
    if c.fact in ("gestation_at_birth", "mass"):
        assert isinstance(limit, int | float)
        value = limit if (c.test == "at_least") is holds else limit - 1
        if c.fact == "mass":
            return replace(case, child=replace(child, weights=(Weight(AT, value),)))
        gestation = Gestation(int(value), int(value))
        return replace(case, child=replace(child, gestation_at_birth=gestation))
    assert isinstance(limit, frozenset)
    wanted = (c.test in ("is", "includes")) is holds
    if c.fact == "sensitivities":
        have = limit if wanted else frozenset()
        return replace(case, child=replace(child, sensitivities=frozenset(have)))
    if c.fact == "findings":
        seen = tuple(Finding(kind, AT) for kind in limit) if wanted else ()
        dressing = replace(line.dressing, findings=seen)
        return replace(case, line=replace(line, dressing=dressing))
    choices = {
        "skin_at_site": lists.SKIN,
        "unit": lists.UNITS,
        "site": lists.SITES,
        "line_kind": lists.LINE_KINDS,
    }[c.fact]
    word = next(w for w in choices if (w in limit) is wanted)
    if c.fact in ("skin_at_site", "unit"):
        return replace(case, child=replace(child, **{c.fact: word}))
    key = "kind" if c.fact == "line_kind" else c.fact
    return replace(case, line=replace(line, **{key: word}))


def edges(
    policy: Policy, rule: Exclusion
) -> Iterator[tuple[str, Case, list[tuple[str, Case]]]]:
    """Yield, for each row of a rule, a case that it bars and cases one step past."""
    book = policy.on(DAY)
    [live] = [e for e in book.exclusions if e.rule.id == rule.id]
    for position, row in enumerate(live.when.rows):
        inside = PLAIN
        # Age last: it moves the weighing with it.
        ordered = sorted(row, key=lambda c: c.fact == "age")
        for c in ordered:
            made = with_fact(inside, c, holds=True)
            assert made is not None
            inside = made
        past = []
        for c in ordered:
            made = with_fact(inside, c, holds=False)
            if made is not None:
                past.append((f"{c.fact} {c.test}", made))
        yield f"row {position}", inside, past


def fired(plan: Plan) -> set[str]:
    return {rule.rule for rule in plan.fired}


def each_exclusion() -> list[tuple[str, str]]:
    return [(name, e.id) for name in SETS for e in load_policy(name).exclusions]


def test_the_three_sets_are_shipped() -> None:
    assert {"quillmere", "us-guideline", "uk-guideline"} <= set(SETS)


@pytest.mark.parametrize("name", SETS)
def test_a_shipped_set_loads(name: str) -> None:
    policy = load_policy(name)

    assert policy.id == name
    assert policy.call
    assert policy.antiseptics
    assert policy.dressings


@pytest.mark.parametrize("name", SETS)
def test_a_plain_child_has_a_plan(name: str) -> None:
    plan = plan_change(PLAIN, AT, load_policy(name))

    assert plan.verdict == "plan"
    assert plan.antiseptic is not None
    assert plan.antiseptic.agent == "chlorhexidine-alcohol"


@pytest.mark.parametrize(("name", "rule_id"), each_exclusion())
def test_an_exclusion_fires_up_to_its_limit_and_not_one_step_past(
    name: str, rule_id: str
) -> None:
    policy = load_policy(name)
    [rule] = [e for e in policy.exclusions if e.id == rule_id]
    rows = list(edges(policy, rule))
    assert rows, "a rule without conditions bars every child"

    for row, inside, past in rows:
        plan = plan_change(inside, AT, policy)
        assert rule_id in fired(plan), f"{row}: does not fire at its limit"
        barred = {
            e.item
            for e in (*plan.excluded, *plan.not_for_this_child)
            if e.rule == rule_id
        }
        tried = {*policy.antiseptics, *policy.dressings, "chlorhexidine-bath"}
        assert barred == set(rule.bars) & tried
        if len(rows) > 1:
            continue  # past one row's limit another row may hold
        for step, outside in past:
            plan = plan_change(outside, AT, policy)
            assert rule_id not in fired(plan), f"{row}: fires past {step}"


@pytest.mark.parametrize(
    ("name", "rule_id"),
    list(each_exclusion()),
)
def test_an_exclusion_of_several_rows_ends_past_all_of_them(
    name: str, rule_id: str
) -> None:
    policy = load_policy(name)
    book = policy.on(DAY)
    [live] = [e for e in book.exclusions if e.rule.id == rule_id]
    outside = PLAIN
    for row in live.when.rows:
        for c in sorted(row, key=lambda c: c.fact == "age"):
            made = with_fact(outside, c, holds=False)
            assert made is not None
            outside = made

    assert rule_id not in fired(plan_change(outside, AT, policy))


@pytest.mark.parametrize("name", SETS)
@pytest.mark.parametrize(
    "age", [timedelta(days=3), timedelta(days=40), timedelta(days=2000)], ids=str
)
def test_an_allergy_to_chlorhexidine_bars_scrub_dressings_and_bath_together(
    name: str, age: timedelta
) -> None:
    policy = load_policy(name)
    child = replace(
        PLAIN.child,
        born=Birth.at(AT - age),
        sensitivities=frozenset({"chlorhexidine"}),
    )

    plan = plan_change(replace(PLAIN, child=child), AT, policy)

    together = {
        "transparent-chg-gel",
        "transparent-chg-disc",
        "chlorhexidine-bath",
        *(i for i, a in policy.agents.items() if "chlorhexidine" in a.contains
          and i in policy.antiseptics),
    }  # fmt: skip
    rules = [
        e for e in policy.exclusions if e.id in fired(plan) and together <= set(e.bars)
    ]
    assert rules, "no single rule bars all of them"
    if plan.antiseptic is not None:
        assert "chlorhexidine" not in policy.agents[plan.antiseptic.agent].contains
    if plan.dressing is not None:
        assert "chg" not in plan.dressing.kind


@pytest.mark.parametrize("name", [*SETS, "published"])
def test_every_number_has_a_unit_a_source_and_a_first_day(name: str) -> None:
    policy = load_policy(name)

    assert policy.numbers
    for number in policy.numbers.values():
        assert number.unit
        assert number.means
        assert number.values
        for value in number.values:
            assert value.source in policy.sources
            assert isinstance(value.start, date)
            assert value.start <= DAY
            assert value.written


@pytest.mark.parametrize("name", [*SETS, "published"])
def test_every_rule_has_a_reason_a_known_source_and_a_place(name: str) -> None:
    policy = load_policy(name)

    for rule in policy.every_rule():
        assert rule.because.endswith("."), rule.id
        assert rule.source in policy.sources, rule.id
        assert ".toml: " in rule.where
    for dispute in policy.disagreements:
        assert len({p.source for p in dispute.positions}) > 1, dispute.id
        for position in dispute.positions:
            assert position.source in policy.sources


@pytest.mark.parametrize("name", [*SETS, "published"])
def test_every_source_says_what_it_is_and_how_it_is_known(name: str) -> None:
    for source in load_policy(name).sources.values():
        assert source.title
        assert source.body
        assert source.how in ("found", "memory", "common-practice")


def test_the_disagreements_c1_to_c24_are_all_there() -> None:
    ids = {dispute.id for dispute in load_policy("published").disagreements}

    assert ids == {f"C{number}" for number in range(1, 25)}


@pytest.mark.parametrize("name", SETS)
def test_each_disagreement_reaches_some_child(name: str) -> None:
    """One that no case can fall into would be hidden after all."""
    policy = load_policy(name)
    book = policy.on(DAY)
    for live in book.disagreements:
        facts = {c.fact for row in live.when.rows for c in row}
        if facts & FACT_TAKEN_FROM_THE_PLAN or not live.when.rows:
            continue
        case = PLAIN
        for c in sorted(live.when.rows[0], key=lambda c: c.fact == "age"):
            made = with_fact(case, c, holds=True)
            assert made is not None
            if c.fact != "age" or c.test == "below":
                case = made
        if sum(c.fact == "age" for c in live.when.rows[0]) > 1:
            continue  # a window of ages: its two ends are one fact here
        plan = plan_change(case, AT, policy)
        assert live.rule.id in {d.id for d in plan.disagreements}
