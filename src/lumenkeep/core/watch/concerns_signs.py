"""Whether one entry shows a sign that a rule of the policy names, and in what words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import tzinfo
from functools import lru_cache
from typing import TYPE_CHECKING

from lumenkeep.core.model.entry import Entry
from lumenkeep.core.model.signs import REPORTED, SIGNS
from lumenkeep.core.policy import RuleBook
from lumenkeep.core.watch.length import LengthRules, LengthVerdict
from lumenkeep.core.watch.length_words import (
    again_words,
    arm_words,
    doubt_words,
    length_sentence,
    moved_words,
    short_words,
    sure_words,
    way,
)
from lumenkeep.core.watch.site import (
    girth,
    has_worsened_again,
    signs_words,
    stitches_lost,
    trend,
)
from lumenkeep.core.watch.site_looks import SiteLook
from lumenkeep.core.watch.typed_words import change_words

if TYPE_CHECKING:
    from collections.abc import Callable

    from lumenkeep.core.policy.watch_rules import ConcernRule


@dataclass(frozen=True, slots=True)
class Seen:
    """What is known at one entry.

    Attributes
    ----------
    looks
        Every look up to this one, oldest first; the last is this entry's, if it is one.
    counted
        Those since stitches were last agreed on.
    is_look
        Whether this entry tells anything of the site.
    verdict, rules
        What the lengths say at it; None where none was measured.
    """

    entry: Entry
    book: RuleBook
    zone: tzinfo
    looks: Sequence[SiteLook]
    counted: Sequence[SiteLook]
    is_look: bool
    verdict: LengthVerdict | None = None
    rules: LengthRules | None = None


@dataclass(frozen=True, slots=True)
class SignShown:
    """Whether an entry shows something (None: it does not tell), and the words for it.

    ``detail`` says how sure it is, and what it rests on.
    """

    shown: bool | None
    says: str = ""
    short: str = ""
    detail: str = ""


UNTOLD = SignShown(None)


def _shows(says: str, short: str, detail: str = "") -> SignShown:
    return SignShown(shown=True, says=says, short=short, detail=detail)


def _shows_not(says: str) -> SignShown:
    return SignShown(shown=False, says=says)


def told(rule: ConcernRule, seen: Seen) -> SignShown:
    """Return whether an entry shows what raises this rule's concern.

    One sign is enough; that none is there is known only where every sign was looked
    for.
    """
    reported, others = _two_kinds(rule.signs)
    parts = [_TELLERS[sign](rule, seen) for sign in others]
    if reported:
        parts.append(_reported(reported, seen))
    shown = [part for part in parts if part.shown]
    if shown:
        return _shows(
            " ".join(part.says for part in shown),
            ", ".join(part.short for part in shown),
            " ".join(part.detail for part in shown if part.detail),
        )
    telling = [part for part in parts if part.shown is False]
    if len(telling) < len(parts) or not parts:
        return UNTOLD
    return _shows_not(" ".join(part.says for part in telling))


@lru_cache(maxsize=256)
def _two_kinds(signs: tuple[str, ...]) -> tuple[frozenset[str], tuple[str, ...]]:
    """Return the signs that a person reports, and those that follow from numbers."""
    reported = frozenset(sign for sign in signs if sign in REPORTED)
    return reported, tuple(sign for sign in signs if sign not in REPORTED)


def _reported(signs: frozenset[str], seen: Seen) -> SignShown:
    look = seen.looks[-1] if seen.is_look else None
    if look is None or look.signs is None:
        return UNTOLD
    there = look.signs & signs
    if there:
        words = signs_words(there)
        return _shows(f"{words[:1].upper()}{words[1:]}.", words)
    if not look.is_whole and not signs <= look.gone:
        return UNTOLD
    words = signs_words(look.signs)
    return _shows_not(f"Looked at again: {words or 'no sign'}.")


def _length(_: ConcernRule, seen: Seen) -> SignShown:
    verdict = seen.verdict
    if verdict is None or verdict.state not in ("moved", "no-shift-shown"):
        return UNTOLD
    if verdict.shift is None:
        return _shows_not(length_sentence(verdict, seen.zone, seen.rules))
    arm = arm_words(verdict, seen.rules.arm_note if seen.rules else "")
    return _shows(
        moved_words(verdict, seen.zone),
        short_words(verdict.shift),
        f"{sure_words(verdict.shift, seen.rules)} {arm}".strip(),
    )


def _doubtful(_: ConcernRule, seen: Seen) -> SignShown:
    verdict = seen.verdict
    if verdict is None or verdict.state == "cannot-judge":
        return UNTOLD
    if verdict.state != "measure-again" or verdict.shift is None:
        return _shows_not(length_sentence(verdict, seen.zone, seen.rules))
    short = f"{change_words(verdict.shift.mm)} mm {way(verdict.shift)}, measure again"
    return _shows(doubt_words(verdict), short, again_words(verdict))


def _stitches(_: ConcernRule, seen: Seen) -> SignShown:
    if not seen.is_look or seen.looks[-1].stitches is None:
        return UNTOLD
    lost = stitches_lost(seen.counted)
    if lost is None:
        return UNTOLD
    left = seen.looks[-1].stitches
    if lost > 0:
        noun = "stitch" if lost == 1 else "stitches"
        says = f"{lost} {noun} lost: {left} counted, {left + lost} before."
        return _shows(says, f"{lost} {noun} lost")
    return _shows_not(f"Counted again: {left}, as before.")


def _worse(_: ConcernRule, seen: Seen) -> SignShown:
    if not seen.is_look or (seen.looks[-1].signs is None and not seen.looks[-1].grades):
        return UNTOLD
    found = has_worsened_again(seen.looks)
    if found is not None:
        return _shows(f"Getting worse: {found.says}.", "site getting worse")
    now = trend(seen.looks)
    if now.state == "better":
        return _shows_not(f"Better: {now.says}.")
    return UNTOLD


def _grade(rule: ConcernRule, seen: Seen) -> SignShown:
    scale = next((s for s in seen.book.policy.scales if s.id == rule.scale), None)
    if not seen.is_look or scale is None or rule.grade_at_least is None:
        return UNTOLD
    grade = seen.looks[-1].grades.get(scale.id)
    if grade is None:
        return UNTOLD
    says = f"{scale.label}: grade {grade}, {scale.says(grade)}."
    least = seen.book.value(rule.grade_at_least)
    assert isinstance(least, int | float)  # noqa: S101  a count, checked on reading
    if grade < least:
        return _shows_not(says)
    return _shows(says, f"{scale.label.lower()} grade {grade}")


def _girth(rule: ConcernRule, seen: Seen) -> SignShown:
    if not seen.is_look or seen.looks[-1].girth_mm is None or not rule.rise_at_least:
        return UNTOLD
    arm = girth(seen.looks)
    if arm is None:
        return UNTOLD
    least = seen.book.value(rule.rise_at_least)
    assert isinstance(least, int | float)  # noqa: S101  a length, checked on reading
    says = (
        f"The arm is {arm.rise_mm:+.0f} mm ({arm.share:+.1%}) against its first "
        f"measurement: {arm.first_mm:g} mm, now {arm.now_mm:g} mm."
    )
    swollen = seen.looks[-1].has("limb-swollen")
    if arm.rise_mm < least or swollen is False:
        return _shows_not(says)
    if swollen is None:
        says += " Whether it is swollen was not charted."
    return _shows(says, f"arm {arm.rise_mm:.0f} mm thicker")


def _by_hand(_: ConcernRule, seen: Seen) -> SignShown:
    if seen.entry.kind != "concern-raised":
        return UNTOLD
    what = str(seen.entry.body.get("what") or SIGNS["by-hand"])
    return _shows(what, what)


def _not_whole(_: ConcernRule, seen: Seen) -> SignShown:
    whole = seen.entry.body.get("whole")
    if seen.entry.kind != "line-removed" or whole is None:
        return UNTOLD
    if whole:
        return _shows_not("The line came out whole.")
    return _shows("The line came out, but not whole.", "line not whole")


def _whole_not_seen(_: ConcernRule, seen: Seen) -> SignShown:
    if seen.entry.kind != "line-removed" or "whole" not in seen.entry.body:
        return UNTOLD
    if seen.entry.body["whole"] is not None:
        return _shows_not("It was looked whether the line is whole.")
    says = "The line is out, and nobody looked whether it is whole."
    return _shows(says, "not looked whether whole")


_TELLERS: dict[str, Callable[[ConcernRule, Seen], SignShown]] = {
    "length-moved": _length,
    "length-doubtful": _doubtful,
    "stitch-lost": _stitches,
    "worse": _worse,
    "grade": _grade,
    "girth": _girth,
    "not-whole": _not_whole,
    "whole-not-seen": _whole_not_seen,
    "by-hand": _by_hand,
}
