"""Compare two policies: over all children and statement by statement, and why."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from lumenkeep.core.comparing.changes import StatementChange, changes_between
from lumenkeep.core.comparing.children import (
    ChildrenDifference,
    differences_over_children,
)
from lumenkeep.core.comparing.kinds import kinds_not_compared
from lumenkeep.core.comparing.sides import Outcome, outcome_decided, outcome_of
from lumenkeep.core.policy import Policy

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from lumenkeep.core.comparing.sides import ReadCase

OVER_CHILDREN = {
    "antiseptic": "which antiseptic, or whom to stop for",
    "technique": (
        "how an antiseptic is used: strength, swabs, scrub, drying, motion, area, and "
        "what takes it off"
    ),
    "dressing": "which dressing, and how long it may stay",
    "due": (
        "from when until when each task is due, for every dressing worn and every kind "
        "of set"
    ),
}
"""What is worked out for all children, by aspect."""
BESIDE_CHILDREN = (
    (
        "answers to children of whom something is not known (what is asked follows from "
        "the statements)"
    ),
    (
        "the texts of a whole plan, due list or guide, word by word (they follow from the "
        "statements)"
    ),
    "ways back and spares, which are worked out from the procedures",
    "what a set takes out, or states again under the same id: only what counts in it",
    "id and version of the two sets, and the comments in their files",
)
"""What no comparison here looks at."""


@dataclass(frozen=True, slots=True)
class PolicyComparison:
    """Every difference between two sets, and how sure the list is.

    Attributes
    ----------
    day
        Day from which days count as to come.
    differences
        For which children the two answer differently.
    is_fewest
        Whether it is proved that fewer regions cannot do.
    faults
        What a second query to the solver found wrong with the list; empty: nothing.
    statements
        Every statement that the two do not both make alike.
    over_children, not_compared
        What was compared over all children, and what was not compared at all.
    """

    one: Policy
    two: Policy
    day: date
    differences: tuple[ChildrenDifference, ...]
    is_fewest: bool
    faults: tuple[str, ...]
    statements: tuple[StatementChange, ...]
    over_children: tuple[str, ...]
    not_compared: tuple[str, ...]

    @property
    def differs(self) -> bool:
        """Whether anything was found, in answers or in statements."""
        return bool(self.differences or self.statements)


def compare_policies(
    one: Policy,
    two: Policy,
    day: date,
    read_case: ReadCase,
    tell: Callable[[str], None] = lambda _: None,
) -> PolicyComparison:
    """Return where two sets differ, for children of whom everything is known.

    Parameters
    ----------
    one, two
        The sets, or two versions of one.
    day
        Day from which answers matter.
    read_case
        Reads a case from its mapping.
    tell
        Is told what is worked on.

    Raises
    ------
    PolicyError
        The procedure files of a set are faulty.
    """
    tell("statements")
    statements = changes_between(one, two, day)
    found = differences_over_children(one, two, day, read_case, tell)
    left_out = dict(found.left_out)
    return PolicyComparison(
        one,
        two,
        day,
        found.differences,
        found.is_fewest,
        found.faults,
        statements,
        tuple(says for key, says in OVER_CHILDREN.items() if key not in left_out),
        (
            *(f"{OVER_CHILDREN[key]}: {why}" for key, why in left_out.items()),
            *(
                f"children {age}: no birth day of four years makes one"
                for age in found.nobody
            ),
            *not_compared(),
        ),
    )


def not_compared() -> Iterator[str]:
    """Yield what was not compared: kinds that nobody thought of, and the rest."""
    yield from (f"statements of the kind '{kind}'" for kind in kinds_not_compared())
    yield from BESIDE_CHILDREN


__all__ = [
    "ChildrenDifference",
    "Outcome",
    "PolicyComparison",
    "compare_policies",
    "not_compared",
    "outcome_decided",
    "outcome_of",
]
