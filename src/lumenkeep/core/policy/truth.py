"""Three-valued truth: yes, no, and not decided by what is known (True, False, None).

Kleene's strong logic: an undecided part leaves the whole undecided only where it
matters.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

Truth = bool | None
"""True: holds. False: does not hold. None: the known facts do not decide it."""


def all_of(parts: Iterable[Truth]) -> Truth:
    """Return whether all hold; one that does not settles it."""
    undecided = False
    for part in parts:
        if part is False:
            return False
        if part is None:
            undecided = True
    return None if undecided else True


def any_of(parts: Iterable[Truth]) -> Truth:
    """Return whether one holds; one that does settles it."""
    undecided = False
    for part in parts:
        if part is True:
            return True
        if part is None:
            undecided = True
    return None if undecided else False
