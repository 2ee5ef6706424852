"""Sets made wrong by hand: each is caught, and its child really shows the fault."""

from __future__ import annotations

import dataclasses
import shutil
from datetime import date, datetime
from typing import TYPE_CHECKING

import pytest
from tests.policy.mutants.every import MUTANTS
from tests.policy.mutants.mutant import (
    CORE,
    FAULTY,
    Edit,
    Mutant,
    seen,
    with_one_requirement,
)

from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.core_breaches import core_breaches
from lumenkeep.core.policy.files import SHIPPED_FOLDER
from lumenkeep.core.policy.solver import boundary_cases, prove_part
from lumenkeep.errors import PolicyError
from lumenkeep.files.case.case_file import case_from_mapping

if TYPE_CHECKING:
    from pathlib import Path

    from lumenkeep.core.planning import Plan
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.core_breaches import CoreBreach
    from lumenkeep.core.policy.solver import Part

DAY = date(2026, 3, 15)
LEAST_MUTANTS = 250
TABLE_START = ("[", "#")


def names(mutant: Mutant) -> str:
    return f"{mutant.base}-{mutant.name}"


READ = [m for m in MUTANTS if m.fails not in (FAULTY, CORE)]
SEEN_WITHOUT_A_CHILD = [m for m in MUTANTS if m.fails == CORE]
REFUSED = [m for m in MUTANTS if m.fails == FAULTY]


def without_rule(text: str, id_: str) -> str:
    """Return the text of a file without the one table that has this id."""
    lines = text.splitlines(keepends=True)
    at = [i for i, line in enumerate(lines) if line == f'id = "{id_}"\n']
    assert len(at) == 1, f"{id_} stands {len(at)} times"
    end = at[0]
    while end < len(lines) and not lines[end].startswith(TABLE_START):
        end += 1
    assert lines[at[0] - 1].startswith("[[")
    return "".join(lines[: at[0] - 1] + lines[end:])


def changed(text: str, edit: Mutant | Edit) -> str:
    """Return the text of a file with a change made in one place."""
    if edit.drop:
        text = without_rule(text, edit.drop)
    if edit.find:
        assert text.count(edit.find) == 1, f"found {text.count(edit.find)} times"
        text = text.replace(edit.find, edit.put)
    return text + edit.add


def planted(mutant: Mutant, folder: Path) -> str:
    """Write the shipped sets with the mutant's change; return the folder to load."""
    for name in ("published", mutant.base):
        shutil.copytree(SHIPPED_FOLDER / name, folder / name)
    head = folder / mutant.base / "set.toml"
    text = head.read_text(encoding="utf-8")
    assert text.count('extends = "published"') == 1
    beside = text.replace('extends = "published"', 'extends = "../published"')
    head.write_text(beside, encoding="utf-8")
    for edit in (mutant, *mutant.also):
        inside = edit.file if "/" in edit.file else f"{mutant.base}/{edit.file}"
        path = folder / inside
        before = path.read_text(encoding="utf-8")
        after = changed(before, edit)
        assert after != before
        path.write_text(after, encoding="utf-8")
    return str(folder / mutant.base)


def the_part(policy: Policy, mutant: Mutant) -> Part:
    """Return the one property that should not hold, and of it what should catch it.

    The other properties, and other requirements, are proved of shipped sets elsewhere.
    """
    if mutant.rule.removeprefix("core:").startswith("require"):
        policy = with_one_requirement(policy, mutant.rule)
    return prove_part(policy, DAY, mutant.fails)


def test_there_are_enough_and_no_name_stands_twice() -> None:
    assert len(MUTANTS) >= LEAST_MUTANTS
    assert len({m.name for m in MUTANTS}) == len(MUTANTS)
    assert all(m.wrong.endswith(".") for m in MUTANTS)


@pytest.mark.parametrize("mutant", REFUSED, ids=names)
def test_a_wrong_set_is_refused_when_it_is_read(mutant: Mutant, tmp_path: Path) -> None:
    name = planted(mutant, tmp_path)

    with pytest.raises(PolicyError) as refused:
        load_policy(name)

    assert mutant.code in {fault.code for fault in refused.value.faults}


def ids_of(breach: CoreBreach) -> set[str]:
    return {id_.removeprefix("core:") for id_, _ in breach.places}


@pytest.mark.parametrize("mutant", SEEN_WITHOUT_A_CHILD, ids=names)
def test_a_set_that_does_not_hold_the_core_is_named(
    mutant: Mutant, tmp_path: Path
) -> None:
    policy = load_policy(planted(mutant, tmp_path))
    assert policy.core is not None

    told = [
        breach
        for breach in core_breaches(policy, policy.core, DAY)
        if mutant.says in breach.says
        and (not mutant.rule or mutant.rule in ids_of(breach))
    ]

    assert told, list(core_breaches(policy, policy.core, DAY))
    assert all(breach.mend for breach in told)


@pytest.mark.parametrize("mutant", READ, ids=names)
def test_a_wrong_set_is_not_proved_and_a_child_shows_it(
    mutant: Mutant, tmp_path: Path
) -> None:
    assert_caught(mutant, tmp_path)


def assert_caught(mutant: Mutant, tmp_path: Path) -> None:
    """Assert that the proof names the fault, and that a child shows it."""
    policy = load_policy(planted(mutant, tmp_path))

    part = the_part(policy, mutant)

    told = [
        breach
        for breach in part.breaches
        if mutant.says in breach.says
        and (not mutant.rule or mutant.rule in {rule for rule, _ in breach.rules})
    ]
    assert told, f"{mutant.fails} holds, or names others: {part.breaches}"
    for breach in told:
        assert breach.mend
        for rule, where in breach.rules:
            if rule == mutant.rule:
                assert where.startswith(mutant.where), where
    if mutant.shows is None:
        assert_idle(policy, mutant.idle)
        return
    shown = [breach.shown_by for breach in told]
    assert None not in shown
    children = [seen(s.case, s.at, s.later, policy) for s in shown if s is not None]
    if not any(mutant.shows(child) for child in children):
        pytest.fail(f"no child shows it: {shown}")


def assert_idle(policy: Policy, idle: tuple[str, ...]) -> None:
    """Assert that no child's answer changes when these are taken out of the set."""
    if not idle:
        return
    smaller = dataclasses.replace(
        policy,
        antiseptics=tuple(a for a in policy.antiseptics if a not in idle),
        dressings=tuple(d for d in policy.dressings if d not in idle),
        exclusions=tuple(e for e in policy.exclusions if e.id not in idle),
        referrals=tuple(r for r in policy.referrals if r.id not in idle),
        intervals=tuple(i for i in policy.intervals if i.id not in idle),
        supplies=tuple(s for s in policy.supplies if s.id not in idle),
        notes=tuple(n for n in policy.notes if n.id not in idle),
    )
    asked = 0
    for case in boundary_cases(policy, DAY):
        asked += 1
        read = case_from_mapping(case.shown.case, "boundary")
        at = datetime.fromisoformat(case.shown.at)
        one, other = (plan_change(read, at, p) for p in (policy, smaller))
        assert answer(one) == answer(other), case.side
    assert asked > 50


def answer(plan: Plan) -> tuple[object, ...]:
    return (
        plan.verdict,
        plan.antiseptic and (plan.antiseptic.agent, plan.antiseptic.scrub_s),
        plan.until_known,
        plan.dressing and (plan.dressing.kind, plan.dressing.stays_h),
        [s.item for s in plan.supplies],
        [c.text for c in (*plan.cautions, *plan.looks)],
    )
