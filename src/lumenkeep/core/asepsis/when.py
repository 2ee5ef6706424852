"""When something counts: rows of facts of the state, and conditions on the plan."""

from __future__ import annotations

from dataclasses import dataclass

Row = tuple[tuple[str, frozenset[str]], ...]
"""Facts with the words allowed for each; all must hold."""
Rows = tuple[Row, ...]
"""Rows of which one must hold."""


@dataclass(frozen=True, slots=True)
class Condition:
    """One condition of a step on the change plan: fact, words, and whether wanted."""

    fact: str
    words: frozenset[str]
    wanted: bool


When = tuple[tuple[Condition, ...], ...]
