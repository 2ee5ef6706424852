"""No way back does what a bedside never does: by a table written apart from the engine.

A part of what ``make ways-back`` walks: every named branch of every procedure of one
set, as laid out, with second slips here and there; and a few branches of the others.
"""

from __future__ import annotations

from collections import Counter

import pytest
from tests.asepsis_faults.by_a_nurse import ORDERS
from tests.asepsis_faults.orders import branch_of, stage
from tests.fakes import never_by_hand as hand
from tests.fakes.ways_walked import Walked, planned_of
from tests.never_over_all import told_of

from lumenkeep.core.rehearsal.rehearse import named_branches

PROCEDURES = sorted(stage().bedside.procedures)


@pytest.mark.timeout(60)
@pytest.mark.parametrize("procedure", PROCEDURES)
def test_no_way_back_does_what_is_never_done(procedure: str) -> None:
    here = stage()
    found: Counter[str] = Counter()
    seen = 0
    for number, branch in enumerate(named_branches(here.procedure(procedure), here)):
        spares = dict.fromkeys(branch.items, 9) if number % 2 else None
        walked = Walked(here.bedside, branch, spares)
        assert walked.undisturbed() == []
        found.update(
            f"{says} ({slip} at {step})" for step, slip, says in walked.wrong(second=90)
        )
        seen += walked.seen

    assert seen
    assert found == Counter()


@pytest.mark.timeout(60)
@pytest.mark.parametrize("set_name", ["us-guideline", "uk-guideline"])
@pytest.mark.parametrize(
    ("procedure", "each"), [("port-needle-change", 5), ("line-removal", 7)]
)
def test_nor_in_the_other_sets(set_name: str, procedure: str, each: int) -> None:
    seen, found = told_of(set_name, procedure, each=each)

    assert seen
    assert found == Counter()


def test_the_table_finds_what_a_nurse_calls_wrong() -> None:
    """It would notice: it knows nothing of the rules that found these orders."""
    noticed: Counter[str] = Counter()
    for procedure, _, edits, *_, facts in ORDERS:
        branch = branch_of(procedure, *edits, **facts)
        bed = hand.bed_before(procedure, planned_of(branch))
        steps = [(act.step, act.seconds) for act in branch.acts]
        said = [*hand.wrong_on_the_way(bed, steps, 0), *hand.wrong_at_the_end(bed)]
        noticed.update({words.partition(" ")[2] for words in said})

    assert len(noticed) >= 30
    assert sum(noticed.values()) >= 80


@pytest.mark.timeout(60)
def test_a_way_back_that_leaves_an_act_out_is_noticed() -> None:
    """Each act of a way back is there for something: without it the table says what."""
    here = stage()
    branch = named_branches(here.procedure("port-needle-change"), here)[0]
    walked = Walked(here.bedside, branch, dict.fromkeys(branch.items, 9))
    place = [act.step.id for act in branch.acts].index("I14")
    [slip] = [one for one in walked.ways.slips if one.id == "needle-without-return"]
    way = walked.ways.way_back(place, slip)

    assert way is not None
    for left_out in range(len(way.acts)):
        if way.acts[left_out].step.verb == "open":
            continue  # counts of things are the engine's own matter
        acts = [act for at, act in enumerate(way.acts) if at != left_out]
        bed = walked._bed_after(way)
        steps = [(act.step, act.seconds) for act in acts] + walked.steps[way.resumes :]
        said = [
            *hand.wrong_on_the_way(bed, steps, len(acts)),
            *hand.wrong_at_the_end(bed),
        ]
        assert said, way.acts[left_out].step.id
