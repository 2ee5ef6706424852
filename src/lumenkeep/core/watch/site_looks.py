"""What each entry of the chart tells of site, skin, stitches and limb.

An entry tells only what was looked at: a sign that nobody charted is unknown, not
absent, and None stands for it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

from lumenkeep.core.entries import signs_in

if TYPE_CHECKING:
    from lumenkeep.core.model.entry import Entry


@dataclass(frozen=True, slots=True)
class SiteLook:
    """What one entry tells.

    Attributes
    ----------
    entry, at
        Id of the entry, and when it was so (UTC).
    signs
        Every sign seen; None where nobody charted what the site looked like.
    is_whole
        Whether the site was said to be healthy: nothing of the site is there then.
        Otherwise a sign that is in neither is unknown.
    stitches
        How many were counted; None where they were not.
    grades
        Grade by scale.
    girth_mm
        Around the arm (mm); None where it was not measured.
    gone
        Signs that an explicit word says are there no more.
    """

    entry: int
    at: datetime
    signs: frozenset[str] | None = None
    is_whole: bool = False
    stitches: int | None = None
    grades: Mapping[str, int] = field(default_factory=dict)
    girth_mm: float | None = None
    gone: frozenset[str] = frozenset()

    def has(self, sign: str) -> bool | None:
        """Return whether a sign was seen; None where the entry does not tell."""
        if self.signs is None:
            return None
        if sign in self.signs:
            return True
        return False if self.is_whole or sign in self.gone else None


def look_of(entry: Entry) -> SiteLook | None:
    """Return what an entry tells; None where it tells nothing that is watched."""
    seen = signs_in(entry)
    tells_signs = bool(seen.there or seen.gone)
    look = SiteLook(
        entry.id,
        entry.happened_at,
        seen.there if tells_signs else None,
        seen.is_healthy,
        _whole(entry.body.get("stitches")),
        _grades(entry.body.get("grades")),
        _number(entry.body.get("arm_girth_mm")),
        seen.gone,
    )
    tells = look.signs is not None or look.stitches is not None or look.grades
    return look if tells or look.girth_mm is not None else None


def _grades(value: object) -> dict[str, int]:
    if not isinstance(value, Mapping):
        return {}
    found = {str(scale): _whole(grade) for scale, grade in value.items()}
    return {scale: grade for scale, grade in found.items() if grade is not None}


def _whole(value: object) -> int | None:
    number = _number(value)
    return None if number is None else int(number)


def _number(value: object) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    return float(value)
