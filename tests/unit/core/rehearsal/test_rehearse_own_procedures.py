"""A hospital's own procedure, walked: by what it does, and in every setting there is."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from tests.asepsis_faults.orders import stage

from lumenkeep.core.model import Case, Line
from lumenkeep.core.recovery.chosen_branch import fits_line
from lumenkeep.core.rehearsal.rehearse import rehearse

if TYPE_CHECKING:
    from lumenkeep.core.asepsis.procedure import Procedure


def own(name: str, *left_out: str, **changes: Any) -> Procedure:
    """Return a shipped procedure as a hospital might write its own."""
    written = stage().procedure(name)
    steps = tuple(step for step in written.steps if step.id not in left_out)
    return replace(written, **{"steps": steps, **changes})


def tables(procedure: Procedure) -> set[str]:
    """Return the tables that some setting of a procedure breaks."""
    found = rehearse(procedure, stage())
    return {broken.table for one in found.branches for broken in one.walk.breaks}


def test_every_number_of_lumens_is_walked_though_nobody_asks_for_it() -> None:
    vary = (("technique", ("non-touch",)), ("soil", ("no", "yes")))
    found = tables(own("connector-change", repeat=None, vary=vary))

    assert "connector-changed" in found
    assert "asks-lumens-and-soil" in found


def test_a_child_who_could_be_masked_is_walked_though_no_step_speaks_of_masks() -> None:
    assert "child-masked" in tables(own("line-removal", "PR12c"))


def test_every_dressing_of_the_set_is_walked_though_no_step_tells_them_apart() -> None:
    written = stage().procedure("dressing-change")
    covers = ("NEO18", "GEL18", "GAU18", "GAU18c", "GAU18b", "DISC17")
    steps = tuple(
        replace(step, when=()) if step.id == "D18" else step
        for step in written.steps
        if step.id not in covers
    )

    assert {"plan-gel", "plan-gauze"} <= tables(replace(written, steps=steps))


def test_another_name_changes_nothing() -> None:
    ids = {
        "dressing-change": "NEO12",
        "connector-change": "N13",
        "set-change": "S14",
        "port-needle-change": "I10d",
        "re-cover": "E8",
        "line-removal": "R17",
    }
    for name, step in ids.items():
        assert tables(own(name, id=f"our-{name}")) == set()
        assert tables(own(name, step, id=f"our-{name}")) == tables(own(name, step))
        assert tables(own(name, step))


@pytest.mark.parametrize(
    ("kind", "fits"), [("non-tunnelled", True), ("tunnelled", False)]
)
def test_a_removal_of_another_name_is_for_the_same_lines(kind: str, fits: bool) -> None:
    tidying = own("line-removal", id="tidying")

    assert fits_line(tidying, stage().bedside, Case(line=Line(kind=kind))) is fits
