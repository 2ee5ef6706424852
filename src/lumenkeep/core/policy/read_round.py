"""Read the rules about a line round from their tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.policy.read_basics import Reference
from lumenkeep.core.policy.round_rules import RoundItem, RoundPlan

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from lumenkeep.core.model.reading import Reader
    from lumenkeep.core.policy.read_basics import RuleReader
    from lumenkeep.core.policy.rules import Rule


def _round_item(row: Reader, reading: RuleReader) -> RoundItem:
    return RoundItem(
        **reading.shared(row),
        label=row.text("label", needed=True) or "",
        asks=row.text("asks", needed=True) or "",
        may_not_apply=row.text("may_not_apply"),
        watched=row.flag("watched") or False,
        finds=row.flag("finds") or False,
    )


def _round_plan(row: Reader, reading: RuleReader) -> RoundPlan:
    shared = reading.shared(row)
    id_ = shared["id"]
    source = row.text("flatters_source", needed=True) or ""
    if source:
        reading.into.source_refs.append(
            Reference(source, None, row.path("flatters_source"))
        )
    return RoundPlan(
        **shared,
        half_width=reading.needs(row, "half_width", "percent", id_),
        expected=reading.needs(row, "expected", "percent", id_),
        same_look=reading.needs(row, "same_look", "elapsed", id_),
        flatters=row.text("flatters", needed=True) or "",
        flatters_source=source,
        reports=row.flag("reports"),
    )


ROUND_KINDS: Mapping[str, Callable[[Reader, RuleReader], Rule]] = {
    "round_item": _round_item,
    "round_plan": _round_plan,
}
"""The lists of round rules a file may hold, and what reads one row of each."""
