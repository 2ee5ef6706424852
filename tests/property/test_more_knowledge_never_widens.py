"""An additional sign, sensitivity or finding never turns a bar into a permission.

Under every shipped set: what was barred stays barred, a stop stays a stop, the plan
names nothing that stands before what it named, and what was due now stays due now.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, note, settings
from hypothesis import strategies as st
from tests.strategies import Asked, asked

from lumenkeep.core.due import due_tasks
from lumenkeep.core.model import Finding, Unknown
from lumenkeep.core.model.words import DRESSINGS, FINDINGS, SENSITIVITIES
from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import Situation, load_policy, narrowed, shipped_sets
from lumenkeep.core.policy.read_rules import BATHS

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime

    from lumenkeep.core.model import Case
    from lumenkeep.core.policy import Policy

# Many examples a test: a busy machine takes its time.
pytestmark = pytest.mark.timeout(60)
EXAMPLES = settings(max_examples=60)
SIGNS = (
    *(("sensitivity", word) for word in SENSITIVITIES),
    *(("finding", word) for word in FINDINGS),
    ("skin", "broken"),
)


def every_set() -> Iterator[Policy]:
    for name in shipped_sets():
        note(f"under {name}")
        yield load_policy(name)


def known(case: Case) -> Case:
    """Return the case with lists that are known, so that something can be added."""
    child, worn = case.child, case.line.dressing
    if isinstance(child.sensitivities, Unknown):
        child = replace(child, sensitivities=frozenset())
    if isinstance(worn.findings, Unknown):
        worn = replace(worn, findings=())
    return replace(case, child=child, line=replace(case.line, dressing=worn))


def with_sign(case: Case, kind: str, word: str) -> Case:
    """Return the case with one more thing seen or told of."""
    child, line = case.child, case.line
    if kind == "sensitivity":
        assert not isinstance(child.sensitivities, Unknown)
        more = child.sensitivities | {word}
        return replace(case, child=replace(child, sensitivities=more))
    if kind == "finding":
        worn = line.dressing
        assert not isinstance(worn.findings, Unknown)
        found = replace(worn, findings=(*worn.findings, Finding(word)))
        return replace(case, line=replace(line, dressing=found))
    return replace(case, line=replace(line, skin_at_site=word))


def barred(case: Case, at: datetime, policy: Policy) -> set[str]:
    """Return everything that some rule surely bars."""
    book = policy.on(at.astimezone(case.zone).date())
    situation = narrowed(Situation(case, at), book)
    return {
        item
        for item in (*policy.agents, *DRESSINGS, *BATHS)
        if any(live.when.truth(situation) is True for live in book.bars(item))
    }


def narrower(before: Case, after: Case, at: datetime, policy: Policy) -> None:
    """Assert that nothing is allowed after that was not before."""
    assert barred(before, at, policy) <= barred(after, at, policy)
    one, two = (plan_change(case, at, policy) for case in (before, after))
    if one.verdict == "stop":
        assert two.verdict == "stop"
    if one.antiseptic and two.antiseptic:
        order = policy.antiseptics
        first, then = one.antiseptic.agent, two.antiseptic.agent
        assert order.index(then) >= order.index(first)
    if one.dressing and two.dressing:
        kinds = policy.dressings
        assert kinds.index(two.dressing.kind) >= kinds.index(one.dressing.kind)
    now = {(t.task, t.kind) for t in due_tasks(before, at, policy) if t.is_now}
    still = {(t.task, t.kind) for t in due_tasks(after, at, policy) if t.is_now}
    assert now <= still


@EXAMPLES
@given(given_=asked(), signs=st.lists(st.sampled_from(SIGNS), min_size=1, max_size=3))
def test_what_is_seen_besides_never_widens(
    given_: Asked, signs: list[tuple[str, str]]
) -> None:
    before = known(given_.case)
    after = before
    for kind, word in signs:
        after = with_sign(after, kind, word)

    for policy in every_set():
        narrower(before, after, given_.at, policy)


@EXAMPLES
@given(given_=asked(), data=st.data())
def test_the_worst_that_may_be_is_never_wider_than_not_knowing(
    given_: Asked, data: st.DataObject
) -> None:
    """A sign that turns out to be there bars no less than while nobody had looked."""
    kind, word = data.draw(st.sampled_from(SIGNS))
    after = with_sign(known(given_.case), kind, word)

    for policy in every_set():
        assert barred(given_.case, given_.at, policy) <= barred(
            after, given_.at, policy
        )
