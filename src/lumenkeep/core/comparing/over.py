"""What a set says over the one it extends, and over one that it was copied from."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from lumenkeep.core.comparing.changes import (
    ADDED,
    LOST,
    MOVED,
    StatementChange,
    changes_between,
)
from lumenkeep.core.comparing.kinds import LOOSENED, QUESTION, SET, SOURCE
from lumenkeep.core.policy import Policy
from lumenkeep.core.policy.core import CORE
from lumenkeep.core.policy.files import (
    SHIPPED_FOLDER,
    WORLD_SET,
    load_policy,
    shipped_sets,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from datetime import date


TOLD_ELSEWHERE = (LOOSENED, QUESTION, SOURCE)
IN_ORDER = ("call", "weighing")
"""Kinds of which the order decides; that of steps is told with their procedures."""


@dataclass(frozen=True, slots=True)
class Over:
    """What one set says over another.

    Attributes
    ----------
    by, over
        The two sets.
    changes
        Statements that they do not both make alike.
    is_shipped
        Whether the first is a shipped set, unchanged: its sentences were read before.
    """

    by: Policy
    over: Policy
    changes: tuple[StatementChange, ...]
    is_shipped: bool = False


def said_anew(policy: Policy, day: date) -> Iterator[Over]:
    """Yield what a set, and each that it extends, says anew over the one below.

    What is added is not among it, nor what `remove` takes out or [[loosened]] names,
    nor the set's head.

    Raises
    ------
    PolicyError
        The procedure files of a set are faulty.
    """
    for below, above in pairwise(policy.layers):
        told = above.removed | {one.id for one in above.loosened}
        changes = tuple(
            one
            for one in _deciding(changes_between(below, above, day))
            if one.kind != SET
            and one.change != ADDED
            and not (one.change == LOST and one.id in told)
        )
        if changes:
            yield Over(above, below, changes, _is_shipped(above))


def added_by(policy: Policy, day: date) -> Iterator[Over]:
    """Yield what a set, and each own one that it extends, adds to the one below.

    Of a shipped set nothing is told, nor of one built like a shipped set: what that
    adds `built_like` tells.

    Raises
    ------
    PolicyError
        The procedure files of a set are faulty.
    """
    if _pattern(policy) is not None:
        return
    for below, above in pairwise(policy.layers):
        if _is_shipped(above):
            continue
        changes = _deciding(changes_between(below, above, day))
        added = tuple(one for one in changes if one.change == ADDED)
        if added:
            yield Over(above, below, added)


def built_like(policy: Policy, day: date) -> Over | None:
    """Return how a set departs from the shipped one that it is a changed copy of.

    None where it extends a set that a ward can work with, is built like none, or does
    not depart from it. A set of its own over a copy of `published` is held to that one.

    Raises
    ------
    PolicyError
        The procedure files of a set are faulty.
    """
    pattern = _pattern(policy)
    if pattern is not None:
        return _departs(policy, pattern, day)
    world, lowest = load_policy(WORLD_SET), policy.layers[0]
    is_copy = not _is_shipped(lowest) and _has_most(_ids(lowest), _ids(world))
    if is_copy and not _extends_a_shipped_one(policy):
        return _departs(lowest, world, day)
    return None


def _pattern(policy: Policy) -> Policy | None:
    """Return the shipped set that a set holds most of, and does not extend."""
    if _extends_a_shipped_one(policy):
        return None
    world = _ids(load_policy(WORLD_SET))
    own = _ids(policy) - world
    likest = max(
        (load_policy(name) for name in shipped_sets()),
        key=lambda one: _shared(own, _ids(one) - world),
    )
    return likest if _has_most(own, _ids(likest) - world) else None


def _extends_a_shipped_one(policy: Policy) -> bool:
    return any(_is_shipped(one) for one in policy.layers if one.id != WORLD_SET)


def _has_most(own: frozenset[str], ids: frozenset[str]) -> bool:
    return len(own & ids) > len(ids - own)


def _departs(policy: Policy, shipped: Policy, day: date) -> Over | None:
    changes = tuple(_deciding(changes_between(shipped, policy, day)))
    return Over(policy, shipped, changes) if changes else None


def _deciding(changes: Iterable[StatementChange]) -> Iterator[StatementChange]:
    for one in changes:
        is_ordered = one.change != MOVED or one.kind in IN_ORDER
        if (
            one.kind not in TOLD_ELSEWHERE
            and is_ordered
            and not one.id.startswith(CORE)
        ):
            yield one


def _is_shipped(policy: Policy) -> bool:
    is_named = "/" not in policy.id and (SHIPPED_FOLDER / policy.id).is_dir()
    return is_named and load_policy(policy.id).digest == policy.digest


def _ids(policy: Policy) -> frozenset[str]:
    return frozenset(rule.id for rule in policy.every_rule()) | frozenset(
        id_ for id_ in policy.numbers if "." not in id_
    )


def _shared(one: frozenset[str], two: frozenset[str]) -> float:
    return len(one & two) / (len(one | two) or 1)
