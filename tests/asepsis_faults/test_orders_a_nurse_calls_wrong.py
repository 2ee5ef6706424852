"""Orders that a nurse would call wrong: the check names the step and the rule she means."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
from tests.asepsis_faults.by_a_nurse import ORDERS as OF_STEPS
from tests.asepsis_faults.orders import drop, stage, walked
from tests.asepsis_faults.own_procedures import OWN
from tests.asepsis_faults.test_faulty_dressing_changes import FAULTS as DRESSING
from tests.asepsis_faults.test_faulty_other_procedures import FAULTS as OTHERS

from lumenkeep.core.asepsis.check import END

ORDERS = OF_STEPS + OWN


@pytest.mark.parametrize(
    ("procedure", "edits", "step", "table", "facts"),
    [pytest.param(row[0], *row[2:], id=f"{row[0]}: {row[1]}") for row in ORDERS],
)
def test_the_rule_she_means_is_broken_there(
    procedure: str, edits: list[Any], step: str, table: str, facts: dict[str, str]
) -> None:
    assert walked(procedure, **facts).breaks == ()
    found = walked(procedure, *edits, **facts).breaks

    assert (step, table) in [(b.step, b.table) for b in found]
    assert all(b.says and b.mend for b in found)


def test_there_are_more_than_two_hundred_of_every_procedure() -> None:
    rows = [("dressing-change", *row) for row in DRESSING] + OTHERS + ORDERS
    kinds = Counter(row[0] for row in rows)

    assert len(rows) >= 240
    assert set(kinds) == set(stage().bedside.procedures)
    assert min(kinds.values()) >= 10


def test_no_two_are_the_same_sentence() -> None:
    said = [(row[0], row[1]) for row in ORDERS]

    assert len(set(said)) == len(said)


def test_every_step_that_is_needed_is_missed_by_somebody() -> None:
    """Each row of the table of needed steps is named by an order, or by leaving it out."""
    named = {row[4] for row in ORDERS}
    left = [one for one in stage().bedside.needed if one.id not in named]

    for one in left:
        assert one.id in LEFT_OUT, one.id
    for id_, (procedure, steps, facts) in LEFT_OUT.items():
        edits: list[Any] = [lambda all_, s=steps: [x for x in all_ if x.id not in s]]
        found = walked(procedure, *edits, **facts).breaks
        assert id_ in [b.table for b in found], id_


LEFT_OUT: dict[str, tuple[str, tuple[str, ...], dict[str, str]]] = {
    "comforted-before": ("set-change", ("PR4",), {}),
    "comforted-after": ("line-removal", ("CL6p",), {}),
    "sharps-away": ("port-needle-change", ("CL1",), {}),
    "looked-through": ("dressing-change", ("D4",), {}),
    "tails-held": ("dressing-change", ("D3b",), {}),
    "connector-flushed": ("connector-change", ("N12",), {}),
    "let-go-when-fixed": ("re-cover", ("E7",), {}),
}


def test_an_ending_names_only_what_is_not_reached() -> None:
    breaks = walked("connector-change", drop("N15"), technique="non-touch").breaks

    told = [one for one in breaks if one.rule == END]
    assert [one.state for one in told] == ["rates unchecked"]
    assert [one.mend for one in told] == ["Add the steps that reach: rates checked"]
