"""Whatever published statement of procedures is left out, it is missed by its id."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

import pytest

from lumenkeep.core.asepsis.kept import StepSides, not_kept
from lumenkeep.core.policy import load_policy
from lumenkeep.core.rehearsal.procedure_files import bedside_written

if TYPE_CHECKING:
    from lumenkeep.core.asepsis.procedure import Bedside

DAY = date(2026, 11, 25)
ELSEWHERE = {
    "PR10": {"dressing-change"},
    "CL6": {"connector-change", "dressing-change", "port-needle-change", "set-change"},
    "CL6d": {"dressing-change"},
    "CL6r": {"port-needle-change"},
}
"""Steps of shared parts that are done in these procedures only."""
ROWS = {
    "slips": "slip.",
    "moves": "move.",
    "rules": "",
    "needed": "",
    "safe": "",
    "heads": "",
    "kinds": "",
}


@pytest.fixture(scope="module")
def published() -> Bedside:
    return bedside_written(load_policy("published"))


def missed(published: Bedside, **changes: Any) -> set[str]:
    sides = StepSides(published, replace(published, **changes), DAY)
    found = not_kept(sides, loosened=frozenset(), elsewhere=frozenset(), folder="own")
    return {one.id for one in found}


def test_every_step_of_every_procedure(published: Bedside) -> None:
    for id_, procedure in published.procedures.items():
        for place, step in enumerate(procedure.steps):
            if id_ not in ELSEWHERE.get(step.id, {id_}):
                continue
            left = procedure.steps[:place] + procedure.steps[place + 1 :]
            own = replace(procedure, steps=left, repeat=None)

            found = missed(published, procedures={**published.procedures, id_: own})

            assert found - {f"{id_}.repeat"} == {f"{id_}.{step.id}"}


@pytest.mark.parametrize("name", ROWS)
def test_every_row(published: Bedside, name: str) -> None:
    rows = getattr(published, name)
    for place, row in enumerate(rows):
        left = {name: rows[:place] + rows[place + 1 :]}

        assert missed(published, **left) == {f"{ROWS[name]}{row.id}"}


def test_every_item_spare_and_number(published: Bedside) -> None:
    for id_ in published.items:
        left = {one: item for one, item in published.items.items() if one != id_}
        assert missed(published, items=left) == {f"item.{id_}"}
    for place, spare in enumerate(published.room):
        rest = published.room[:place] + published.room[place + 1 :]
        assert missed(published, room=rest) == {f"spare.{spare.item}"}
    for id_ in published.numbers:
        if "." not in id_:
            numbers = {i: n for i, n in published.numbers.items() if i != id_}
            assert id_ in missed(published, numbers=numbers)
