"""What looks at a site show one after another: worse or not, stitches lost, arm thicker."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.model.signs import CHILD_SIGNS, LINE_SIGNS, SIGNS
from lumenkeep.core.watch.site_looks import SiteLook

if TYPE_CHECKING:
    from collections.abc import Sequence

NOT_OF_THE_SITE = frozenset({*LINE_SIGNS, *CHILD_SIGNS})


@dataclass(frozen=True, slots=True)
class Trend:
    """How the site went from one look to a later one.

    Attributes
    ----------
    state
        "worse", "better", "same" or "cannot-judge" (fewer than two looks that tell).
    before, now
        The looks compared.
    says
        In words; empty where nothing can be said.
    """

    state: str
    before: SiteLook | None
    now: SiteLook | None
    says: str = ""


def trend(looks: Sequence[SiteLook]) -> Trend:
    """Return how the latest look compares with the one before it that tells as much.

    A grade on the same scale goes before the count of signs: it says more. A first
    sign on a site that looked healthy is worse too.
    """
    by_grade = _by_grade(looks)
    if by_grade is not None and by_grade.state != "same":
        return by_grade
    telling = [look for look in looks if look.signs is not None]
    if len(telling) <= 1:
        return by_grade or Trend("cannot-judge", None, telling[-1] if telling else None)
    before, now = telling[-2:]
    was, are = _site(before), _site(now)
    says = f"{_named(was)}, then {_named(are)}"
    if are > was:
        return Trend("worse", before, now, says)
    if now.is_whole and are < was:
        return Trend("better", before, now, says)
    if len(are) > len(was):
        return Trend("worse", before, now, says)
    return Trend("same", before, now, says)


def _by_grade(looks: Sequence[SiteLook]) -> Trend | None:
    graded = [look for look in looks if look.grades]
    if len(graded) <= 1:
        return None
    now = graded[-1]
    for scale, grade in sorted(now.grades.items()):
        before = next((x for x in reversed(graded[:-1]) if scale in x.grades), None)
        if before is None or before.grades[scale] == grade:
            continue
        was = before.grades[scale]
        state = "worse" if grade > was else "better"
        label = scale.replace("-", " ")
        return Trend(state, before, now, f"{label}: grade {was}, then {grade}")
    return Trend("same", graded[-2], now)


def has_worsened_again(looks: Sequence[SiteLook]) -> Trend | None:
    """Return a worsening on top of something that was there before; None otherwise.

    The first sign is a concern of its own; this one is for a site that goes on
    getting worse.
    """
    found = trend(looks)
    if found.state != "worse" or found.before is None:
        return None
    had_signs = bool(_site(found.before))
    had_grade = any(grade > 0 for grade in found.before.grades.values())
    return found if had_signs or had_grade else None


def stitches_lost(looks: Sequence[SiteLook]) -> int | None:
    """Return how many stitches are fewer than were ever counted; None: never counted."""
    counted = [look.stitches for look in looks if look.stitches is not None]
    return max(counted) - counted[-1] if counted else None


@dataclass(frozen=True, slots=True)
class Girth:
    """An arm against its first measurement (mm); ``share`` of the first, 0 to 1."""

    first_mm: float
    now_mm: float

    @property
    def rise_mm(self) -> float:
        """How much thicker (mm)."""
        return self.now_mm - self.first_mm

    @property
    def share(self) -> float:
        """How much thicker, as a share of what it was."""
        return self.rise_mm / self.first_mm if self.first_mm else 0.0


def girth(looks: Sequence[SiteLook]) -> Girth | None:
    """Return the arm at the latest measurement; None with nothing to compare with."""
    measured = [look.girth_mm for look in looks if look.girth_mm is not None]
    return Girth(measured[0], measured[-1]) if len(measured) > 1 else None


def signs_words(signs: frozenset[str] | set[str]) -> str:
    """Return signs as one phrase, in the order of the closed list."""
    if not signs:
        return ""
    return ", ".join(SIGNS[s][:1].lower() + SIGNS[s][1:] for s in SIGNS if s in signs)


def _site(look: SiteLook) -> frozenset[str]:
    return (look.signs or frozenset()) - NOT_OF_THE_SITE


def _named(signs: frozenset[str]) -> str:
    return signs_words(signs) or "no sign"
