"""Every kind of entry that can be charted, by id.

A kind written into a tuple of `entries.kinds` is here; a new tuple is named here. Forms,
corrections, the history, the schema, the chart file and the reading of the chart follow.
"""

from __future__ import annotations

from contextlib import contextmanager
from functools import cache
from typing import TYPE_CHECKING

from lumenkeep.core.entries.answers import Text
from lumenkeep.core.entries.kind import CHILD, EITHER, LINE, Field, Kind, Task
from lumenkeep.core.entries.kinds.of_child import OF_CHILD
from lumenkeep.core.entries.kinds.of_concern import OF_CONCERN
from lumenkeep.core.entries.kinds.of_dressing import OF_DRESSING
from lumenkeep.core.entries.kinds.of_hanging import OF_HANGING
from lumenkeep.core.entries.kinds.of_infection import OF_INFECTION
from lumenkeep.core.entries.kinds.of_line import OF_LINE
from lumenkeep.core.model.chart import WITHDRAWN

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

_TAKEN_BACK = Kind(
    WITHDRAWN,
    "Taken back",
    EITHER,
    (Field("because", "Why it is taken back", Text(is_long=False), said="because"),),
    may_withdraw=False,
)
"""It takes back the entry it corrects and puts nothing in its place."""

_KINDS: dict[str, Kind] = {
    kind.id: kind
    for kind in (
        *OF_CHILD,
        *OF_INFECTION,
        *OF_DRESSING,
        *OF_LINE,
        *OF_HANGING,
        *OF_CONCERN,
        _TAKEN_BACK,
    )
}


def every_kind() -> Mapping[str, Kind]:
    """Return every kind of entry by id, in the order in which they are said."""
    return _KINDS


def kind_of(id: str) -> Kind | None:  # noqa: A002  the entry's own word for it
    """Return a kind; None where there is none of that id."""
    return _KINDS.get(id)


@cache
def every_task() -> tuple[Task, ...]:
    """Return every recurring task that an entry of some kind does."""
    return tuple(kind.task for kind in _KINDS.values() if kind.task is not None)


def is_about(kind: Kind, line: str | None) -> bool:
    """Return whether a kind is charted on what is given: a line, or the child alone."""
    if kind.about == EITHER:
        return True
    return kind.about == (CHILD if line is None else LINE)


@contextmanager
def with_kinds(*kinds: Kind) -> Iterator[None]:
    """Add kinds, or put others in place of those of the same id, for a while.

    For tests that show that a kind said here arrives everywhere.
    """
    before = dict(_KINDS)
    _KINDS.update({kind.id: kind for kind in kinds})
    every_task.cache_clear()
    try:
        yield
    finally:
        _KINDS.clear()
        _KINDS.update(before)
        every_task.cache_clear()
