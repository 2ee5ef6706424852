"""What procedure files state beside procedures, kind by kind, and how each is held."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from lumenkeep.core.asepsis.kept.rows import (
    of_head,
    of_item,
    of_kind,
    of_needed,
    of_rule,
    of_safe,
    of_slip,
    of_spare,
)
from lumenkeep.core.asepsis.kept.words import sentence
from lumenkeep.core.asepsis.procedure import Bedside

BY_OWN_ID = ("rule", "needed", "safe", "head", "kind")
"""Kinds whose ids stand alone; those of others go with their kind, as "slip.line-out"."""


@dataclass(frozen=True, slots=True)
class StatementKind:
    """One kind of statement.

    Attributes
    ----------
    name
        As the files call it.
    called
        What a nurse calls it.
    rows
        What a set states of it.
    otherwise
        What one no longer says of another; None for moves, which are steps.
    """

    name: str
    called: str
    rows: Callable[[Bedside], Iterable[Any]]
    otherwise: Callable[[Any, Any], Iterator[str]] | None

    def id_of(self, row: Any) -> str:
        """Return the id of a statement; a spare's is that of its item."""
        return str(row.item if self.name == "spare" else row.id)

    def named(self, row: Any) -> str:
        """Return what `[[loosened]]` calls it."""
        id_ = self.id_of(row)
        return id_ if self.name in BY_OWN_ID else f"{self.name}.{id_}"

    def told(self, row: Any, shipped: Bedside) -> str:
        """Return what it is, in a nurse's words."""
        if self.name == "spare":
            return f"{self.called} “{shipped.items[row.item].label}”"
        if self.name == "kind":
            return f"{self.called} “{row.procedure.replace('-', ' ')}”"
        says = f"“{row.label}”" if self.name == "item" else sentence(row.says)
        return f"{self.called} {says}"


KINDS: Sequence[StatementKind] = (
    StatementKind("slip", "The slip", lambda bedside: bedside.slips, of_slip),
    StatementKind(
        "move", "The move of a way back", lambda bedside: bedside.moves, None
    ),
    StatementKind("item", "The item", lambda bedside: bedside.items.values(), of_item),
    StatementKind(
        "spare",
        "In the room,",
        # Of two rows for one item the later counts, as where spares are counted.
        lambda bedside: {row.item: row for row in bedside.room}.values(),
        of_spare,
    ),
    StatementKind("rule", "The rule", lambda bedside: bedside.rules, of_rule),
    StatementKind(
        "needed", "What must be done,", lambda bedside: bedside.needed, of_needed
    ),
    StatementKind(
        "head", "Of every procedure:", lambda bedside: bedside.heads, of_head
    ),
    StatementKind(
        "kind", "What a procedure is,", lambda bedside: bedside.kinds, of_kind
    ),
    StatementKind(
        "safe", "How a child is left,", lambda bedside: bedside.safe, of_safe
    ),
)
