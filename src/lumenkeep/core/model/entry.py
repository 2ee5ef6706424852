"""One entry of the chart.

The chart is append-only: an entry is never changed. A correction is a new entry
that names the one it corrects; from then on the corrected one no longer counts.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

if TYPE_CHECKING:
    from collections.abc import Iterable


class MayCorrect(Protocol):
    """What is written once: numbered, and it may name an earlier one it puts right."""

    @property
    def id(self) -> int:
        """Number in the order of writing."""
        ...

    @property
    def corrects(self) -> int | None:
        """Number of the one that it puts right, if any."""
        ...


T = TypeVar("T", bound=MayCorrect)


def not_put_right(written: Iterable[T]) -> list[T]:
    """Return what no other of them puts right, in the order given."""
    written = list(written)
    replaced = {one.corrects for one in written if one.corrects is not None}
    return [one for one in written if one.id not in replaced]


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that was seen or done.

    Parameters
    ----------
    id
        Number in the order of writing.
    child, line
        Pseudonymous keys; ``line`` is None for what concerns the child alone.
    kind
        Of the registry: see `lumenkeep.core.entries`.
    happened_at, written_at
        When it was so, and when it was written down (UTC).
    by
        Pseudonymous key of the person who wrote it.
    policy
        Set, version and digest it was charted under.
    corrects
        Id of the entry that this one replaces, if any.
    body
        The particulars, by kind: see `lumenkeep.core.entries`.
    """

    id: int
    child: str
    line: str | None
    kind: str
    happened_at: datetime
    written_at: datetime
    by: str
    policy: str
    corrects: int | None
    body: Mapping[str, Any]
