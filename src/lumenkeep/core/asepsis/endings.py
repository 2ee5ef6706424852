"""How a child may be left: what is done first where somebody stops, and what must hold.

The rules of safe endings are data. They hold at the end of every procedure too.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from lumenkeep.core.asepsis.act import any_row
from lumenkeep.core.asepsis.effects import applied
from lumenkeep.core.asepsis.rules import compiled_rows

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from lumenkeep.core.asepsis.act import Act, CompiledRows
    from lumenkeep.core.asepsis.procedure import SafeEnding
    from lumenkeep.core.asepsis.state import State
    from lumenkeep.core.asepsis.when import When


class Ending(NamedTuple):
    """A rule of safe endings, its rows compiled."""

    rule: SafeEnding
    given: CompiledRows
    needs: CompiledRows

    def is_unsafe(self, state: State) -> bool:
        """Return whether a child may not be left so."""
        if self.given and not any_row(self.given, state):
            return False
        return not any_row(self.needs, state)


def endings_of(
    rules: Iterable[SafeEnding], holds: Callable[[When], bool]
) -> tuple[Ending, ...]:
    """Return the rules of safe endings whose conditions hold."""
    return tuple(
        Ending(rule, compiled_rows(rule.given, ""), compiled_rows(rule.needs, ""))
        for rule in rules
        if holds(rule.when)
    )


def made_safe(
    endings: Sequence[Ending], moves: Mapping[str, Act], state: State
) -> list[Act]:
    """Return what is done, in the order of the rules, before a child may be left."""
    acts: list[Act] = []
    for ending in endings:
        if ending.is_unsafe(state):
            for id_ in ending.rule.does:
                if id_ in moves:
                    acts.append(moves[id_])
                    state = applied(state, moves[id_])
    return acts
