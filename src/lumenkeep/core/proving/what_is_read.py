"""Every kind of statement that a policy file can make, as its readers ask for it.

The readers are run over a table that is empty and notes each key it is asked for. So
the list cannot fall behind them: a new key is in it with the line that reads it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.asepsis.read import ask_for_everything
from lumenkeep.core.model.reading import Reader
from lumenkeep.core.policy.loosened import read_loosened
from lumenkeep.core.policy.read_basics import Gathered, read_number, read_source
from lumenkeep.core.policy.read_head import read_head
from lumenkeep.core.policy.read_rules import KINDS, RuleReader, read_agent

if TYPE_CHECKING:
    from collections.abc import Iterator

AN_ID = "an-id"


class _Asked(Reader):
    """A table that holds nothing, and notes what it is asked for, parts of it too."""

    def __init__(self, asked: dict[str, None], path: str = "") -> None:
        super().__init__({}, "", [], "policy")
        self._asked = asked
        self._path = path

    def raw(self, key: str) -> Any:
        self._asked[f"{self._path}{key}"] = None
        return None

    def table(self, key: str, *, needed: bool = False) -> Reader | None:
        del needed
        self.raw(key)
        return _Asked(self._asked, f"{self._path}{key}.")

    def rows(self, key: str) -> Iterator[Reader]:
        self.raw(key)
        yield _Asked(self._asked, f"{self._path}{key}.")

    def every_key(self) -> list[str]:
        return []


def statements_of_rules() -> tuple[str, ...]:
    """Return the path of every statement of a set's rule files, as ``exclude.bars``."""
    asked: dict[str, None] = {}
    into = Gathered()
    read_head(_Asked(asked, "set."))
    read_source(_Asked(asked, "source."), AN_ID, into)
    read_number(_Asked(asked, "number."), AN_ID, into)
    reading = RuleReader(into, (AN_ID,))
    read_agent(_Asked(asked, "agent."), AN_ID, reading)
    for kind, read_one in KINDS.items():
        asked[kind] = None
        read_one(_Asked(asked, f"{kind}."), reading)
    read_loosened(_Asked(asked), into)
    return _leaves(asked)


def statements_of_procedures() -> tuple[str, ...]:
    """Return the path of every statement of a procedure file, as ``step.uses``."""
    asked: dict[str, None] = {}
    ask_for_everything(_Asked(asked), Gathered())
    return _leaves(asked)


def _leaves(asked: dict[str, None]) -> tuple[str, ...]:
    """Return the paths that have no part of their own."""
    return tuple(
        path for path in asked if not any(o.startswith(f"{path}.") for o in asked)
    )
