"""What each entry of the chart tells of site, skin, stitches and limb.

An entry tells only what was looked at: a sign that nobody charted is unknown, not
absent, and None stands for it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

from lumenkeep.model.signs import HEALTHY, REPORTED, SIGN_OF_SITE_WORD

if TYPE_CHECKING:
    from lumenkeep.model.entry import Entry

LOOKS = ("line-inserted", "dressing-change", "site-check", "finding", "re-cover")
"""Kinds of entry that may tell something."""


@dataclass(frozen=True, slots=True)
class Look:
    """What one entry tells.

    Attributes
    ----------
    entry, at
        Id of the entry, and when it was so (UTC).
    signs
        Every sign seen; None where nobody charted what the site looked like.
    is_whole
        Whether ``signs`` is everything: otherwise a sign not among them is unknown.
    stitches
        How many were counted; None where they were not.
    grades
        Grade by scale.
    girth_mm
        Around the arm (mm); None where it was not measured.
    """

    entry: int
    at: datetime
    signs: frozenset[str] | None = None
    is_whole: bool = False
    stitches: int | None = None
    grades: Mapping[str, int] = field(default_factory=dict)
    girth_mm: float | None = None

    def has(self, sign: str) -> bool | None:
        """Return whether a sign was seen; None where the entry does not tell."""
        if self.signs is None:
            return None
        if sign in self.signs:
            return True
        return False if self.is_whole else None


def look_of(entry: Entry) -> Look | None:
    """Return what an entry tells; None where it tells nothing that is watched."""
    if entry.kind not in LOOKS:
        return None
    signs, is_whole = _signs(entry)
    look = Look(
        entry.id,
        entry.happened_at,
        signs,
        is_whole,
        _whole(entry.body.get("stitches")),
        _grades(entry.body.get("grades")),
        _number(entry.body.get("arm_girth_mm")),
    )
    tells = look.signs is not None or look.stitches is not None or look.grades
    return look if tells or look.girth_mm is not None else None


def _signs(entry: Entry) -> tuple[frozenset[str] | None, bool]:
    """Return the signs an entry names, and whether they are all there were.

    At a change one word is charted for the site, "the weightiest that applies": the
    lighter signs are then unknown, unless they were ticked as well.
    """
    body = entry.body
    ticked = body.get("signs")
    seen = {word for word in ticked or () if str(word) in REPORTED}
    word = str(body.get("site") or "")
    if word in SIGN_OF_SITE_WORD and entry.kind != "line-inserted":
        seen.add(SIGN_OF_SITE_WORD[word])
    if body.get("skin") == "broken":
        seen.add("skin-broken")
    if "bleeding" in (body.get("findings") or ()):
        seen.add("bleeding")
    is_whole = ticked is not None or (word == HEALTHY and not seen)
    if not seen and not is_whole:
        return None, False
    return frozenset(seen), is_whole


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
