"""Whatever a statement of procedures decides is compared with what is published."""

from __future__ import annotations

import inspect
from dataclasses import fields
from typing import Any

import pytest

from lumenkeep.core.asepsis.head import ProcedureHead, ProcedureKind
from lumenkeep.core.asepsis.kept import heads, law, order, rows, steps, variants
from lumenkeep.core.asepsis.procedure import (
    AsepsisRule,
    Item,
    Needed,
    Procedure,
    SafeEnding,
    Slip,
    Spare,
    Step,
)

TOLD = {"says", "says_first", "title", "label", "rule", "mend", "redo", "keep", "stop"}
"""Words for people; what they ask for stands beside them as data."""
FROM = {"because", "source", "how", "where"}
OF_THE_LIST = {"id", "item", "number", "breaks"}
"""How a statement is found, and which rules a slip's sentence speaks of."""
NOT_DECIDING: dict[type, set[str]] = {
    Step: {"after"},  # its place: an order is named, and walked
    Procedure: {"branches"},  # settings that are shown by name
}


@pytest.mark.parametrize(
    ("kind", "module"),
    [
        (Step, steps),
        (Procedure, heads),
        *((one, rows) for one in (Slip, Item, Spare, ProcedureHead, ProcedureKind)),
        *((one, rows) for one in (AsepsisRule, Needed, SafeEnding)),
    ],
)
def test_every_field_that_decides_is_compared(kind: Any, module: Any) -> None:
    """A new field has to be compared, or be listed here as one that decides nothing."""
    known = TOLD | FROM | OF_THE_LIST | NOT_DECIDING.get(kind, set())
    written = "".join(inspect.getsource(m) for m in (module, variants, order, law))

    for one in fields(kind):
        # 'when' is compared for every kind, in its settings.
        if one.name not in known | {"when"}:
            assert f".{one.name}" in written, one.name
