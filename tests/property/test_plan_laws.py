"""What holds for the change plan of every child, under every shipped set."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, note, settings
from hypothesis import strategies as st
from tests.strategies import (
    Asked,
    asked,
    asked_and_completed,
    earlier,
    grams,
    minutes,
)

from lumenkeep.core.model import NOT_GIVEN, Case, People, Person, Weight
from lumenkeep.core.planning import plan_change
from lumenkeep.core.planning.prepared import prepare
from lumenkeep.core.policy import load_policy, shipped_sets

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.planning import Plan
    from lumenkeep.core.policy import Policy

# Many examples a test: a busy machine takes its time.
pytestmark = pytest.mark.timeout(60)
MINUTE = timedelta(minutes=1)
EXAMPLES = settings(max_examples=40)


def every_set() -> Iterator[Policy]:
    """Yield each shipped set, noting which one a failure is about."""
    for name in shipped_sets():
        note(f"under {name}")
        yield load_policy(name)


def excluded(plan: Plan) -> set[tuple[str, str]]:
    return {(e.item, e.rule) for e in (*plan.excluded, *plan.not_for_this_child)}


def answer(plan: Plan) -> tuple[object, ...]:
    """Return what the plan decides."""
    agent = plan.antiseptic.agent if plan.antiseptic else None
    cover = plan.dressing.kind if plan.dressing else None
    return plan.verdict, agent, plan.until_known, cover


def stands(plan: Plan) -> tuple[object, ...]:
    """Return what the plan decides, and the rules on which it hangs or stops."""
    asked_for = {(q.fact, rule) for q in plan.questions for rule in q.rules}
    return answer(plan), asked_for, set(plan.stop_because)


def looked_for(plan: Plan) -> set[str]:
    return {remark.rule for remark in plan.looks}


@EXAMPLES
@given(pair=asked_and_completed())
def test_what_is_excluded_stays_excluded_when_more_is_known(
    pair: tuple[Asked, Case],
) -> None:
    partial, full = pair
    for policy in every_set():
        before = plan_change(partial.case, partial.at, policy)
        after = plan_change(full, partial.at, policy)

        assert excluded(before) <= excluded(after)
        if before.verdict == "stop":
            assert after.verdict == "stop"


@EXAMPLES
@given(pair=asked_and_completed())
def test_the_agent_named_is_barred_by_no_completion(pair: tuple[Asked, Case]) -> None:
    partial, full = pair
    for policy in every_set():
        before = plan_change(partial.case, partial.at, policy)
        after = plan_change(full, partial.at, policy)

        barred = {item for item, _ in excluded(after)}
        assert before.until_known not in barred
        if before.antiseptic is not None:
            assert before.antiseptic.agent not in barred, policy.id
            assert after.verdict == "plan"
            assert after.antiseptic is not None
            assert after.antiseptic.agent == before.antiseptic.agent


@EXAMPLES
@given(pair=asked_and_completed())
def test_the_dressing_named_is_barred_only_by_what_one_is_told_to_look_for(
    pair: tuple[Asked, Case],
) -> None:
    partial, full = pair
    for policy in every_set():
        before = plan_change(partial.case, partial.at, policy)
        after = plan_change(full, partial.at, policy)

        if before.dressing is not None:
            kind = before.dressing.kind
            against = {rule for item, rule in excluded(after) if item == kind}
            assert against <= looked_for(before)


@EXAMPLES
@given(pair=asked_and_completed())
def test_a_case_with_every_fact_known_asks_for_nothing(
    pair: tuple[Asked, Case],
) -> None:
    partial, full = pair
    for policy in every_set():
        plan = plan_change(full, partial.at, policy)

        assert plan.verdict in ("plan", "stop")
        assert plan.questions == ()
        assert plan.undecided == ()


@EXAMPLES
@given(given_=asked())
def test_verdict_agent_and_questions_agree(given_: Asked) -> None:
    for policy in every_set():
        plan = plan_change(given_.case, given_.at, policy)
        barred = {e.item for e in plan.excluded}

        assert (plan.antiseptic is not None) is (plan.verdict == "plan")
        assert any(q.blocks for q in plan.questions) is (plan.verdict == "ask")
        assert (plan.call is not None) is (plan.verdict == "stop")
        assert bool(plan.stop_because) is (plan.verdict == "stop")
        if plan.antiseptic is not None:
            assert plan.antiseptic.agent not in barred
        if plan.dressing is not None:
            kept_off = {e.item for e in plan.not_for_this_child}
            assert plan.dressing.kind not in kept_off
        if plan.verdict == "stop":
            assert (plan.dressing, plan.supplies, plan.chart) == (None, (), ())


def speaks_of(policy: Policy) -> set[str]:
    """Return the facts that any exclusion or referral of the set reads."""
    return {
        c.fact
        for rule in (*policy.exclusions, *policy.referrals)
        for row in rule.when
        for c in row
    }


@EXAMPLES
@given(given_=asked(), other=asked())
def test_facts_that_no_rule_reads_do_not_matter(given_: Asked, other: Asked) -> None:
    for policy in every_set():
        facts = speaks_of(policy)
        line, strange = given_.case.line, other.case.line
        changed = replace(
            line,
            external_length_mm=strange.external_length_mm,
            stitches=strange.stitches,
            connectors_changed=NOT_GIVEN,
            needle_changed=NOT_GIVEN,
            reviewed=NOT_GIVEN,
            inspected=NOT_GIVEN,
            sets=strange.sets,
            lumens=line.lumens if "lumens" in facts else strange.lumens,
            kind=line.kind if "line_kind" in facts else strange.kind,
            site=line.site if "site" in facts else strange.site,
            dressing=replace(line.dressing, kind=strange.dressing.kind),
        )
        case = replace(
            given_.case, line=changed, people=People(Person("8"), Person(NOT_GIVEN))
        )

        one = plan_change(given_.case, given_.at, policy)
        two = plan_change(case, given_.at, policy)

        assert answer(one) == answer(two)
        assert excluded(one) == excluded(two)


@EXAMPLES
@given(data=st.data(), given_=asked())
def test_a_new_weighing_touches_only_rules_that_read_the_mass(
    data: st.DataObject, given_: Asked
) -> None:
    for policy in every_set():
        new = Weight(given_.at, data.draw(grams))
        child = replace(given_.case.child, weights=(*given_.case.child.weights, new))

        before = plan_change(given_.case, given_.at, policy)
        after = plan_change(replace(given_.case, child=child), given_.at, policy)

        of_mass = {
            rule.id
            for rule in policy.exclusions
            if any(c.fact == "mass" for row in rule.when for c in row)
        }
        changed = excluded(before) ^ excluded(after)
        assert {rule for _, rule in changed} <= of_mass


@EXAMPLES
@given(given_=asked(), data=st.data())
def test_a_weighing_after_the_instant_says_nothing(
    given_: Asked, data: st.DataObject
) -> None:
    for policy in every_set():
        late = given_.at + data.draw(minutes(MINUTE, timedelta(days=9)))
        child = replace(
            given_.case.child,
            weights=(*given_.case.child.weights, Weight(late, data.draw(grams))),
        )

        before = plan_change(given_.case, given_.at, policy)
        after = plan_change(replace(given_.case, child=child), given_.at, policy)

        assert answer(before) == answer(after)
        assert excluded(before) == excluded(after)


@EXAMPLES
@given(given_=asked())
def test_at_each_instant_named_the_answer_or_a_rule_really_changes(
    given_: Asked,
) -> None:
    for policy in every_set():
        plan = plan_change(given_.case, given_.at, policy)

        for change in plan.changes_later:
            if change.at is None:
                assert change.when
                continue
            assert change.at > given_.at
            before = plan_change(given_.case, change.at - MINUTE, policy)
            then = plan_change(given_.case, change.at, policy)
            held = {f.rule for f in (*before.fired, *before.undecided)}
            holds = {f.rule for f in (*then.fired, *then.undecided)}
            named = {
                rule.id
                for rule in policy.exclusions
                if f"“{rule.because}” no longer" in change.what
                or f"“{rule.because}” is then settled" in change.what
            }
            assert named or stands(before) != stands(then)
            assert named <= held
            assert not named & holds


@EXAMPLES
@given(given_=asked(), data=st.data())
def test_between_the_instants_named_the_answer_stays(
    given_: Asked, data: st.DataObject
) -> None:
    """Otherwise a printed plan would be wrong before the time it says it is good for."""
    for policy in every_set():
        plan = plan_change(given_.case, given_.at, policy)
        turns = sorted(c.at for c in plan.changes_later if c.at is not None)
        later = given_.at + data.draw(
            st.one_of(
                minutes(timedelta(), timedelta(days=20)),
                minutes(timedelta(), timedelta(days=800)),
            )
        )
        since = max([t for t in turns if t <= later], default=given_.at)

        assert answer(plan_change(given_.case, since, policy)) == answer(
            plan_change(given_.case, later, policy)
        )


@EXAMPLES
@given(given_=asked())
def test_what_is_kept_for_a_cell_is_what_would_be_worked_out_afresh(
    given_: Asked,
) -> None:
    for policy in every_set():
        kept = plan_change(given_.case, given_.at, policy)
        prepare.cache_clear()
        fresh = plan_change(given_.case, given_.at, policy)

        assert kept == fresh


@given(given_=asked(), data=st.data())
def test_the_newest_weighing_counts_whatever_the_order(
    given_: Asked, data: st.DataObject
) -> None:
    policy = load_policy("quillmere")
    weights = data.draw(
        st.lists(
            st.builds(Weight, earlier(given_.at), grams),
            max_size=4,
            unique_by=lambda w: w.at,
        )
    )
    child = given_.case.child
    one = replace(given_.case, child=replace(child, weights=tuple(weights)))
    two = replace(given_.case, child=replace(child, weights=tuple(reversed(weights))))

    assert plan_change(one, given_.at, policy) == plan_change(two, given_.at, policy)
