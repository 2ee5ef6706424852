"""What a part of a statement may become and still be kept: the same, or stricter.

Stricter is only what is plain from the kind: more is barred, more is asked, more lies
ready, somebody comes sooner. Everything else is said otherwise.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy.numbers import LESS, MORE
from lumenkeep.core.policy.rule_texts import TEXTS

if TYPE_CHECKING:
    from lumenkeep.core.policy.conditions import Comparison, Row, When
    from lumenkeep.core.policy.kept_numbers import CoreLimits

Judge = Callable[[Any, Any, "CoreLimits"], bool]
NOT_JUDGED = TEXTS | {
    "id",
    "source",
    "how",
    "where",
    "numbers",
    "reports",
    "takes_away",
    "flatters_source",
}
"""How a statement is told, and what it says of itself."""
WIDENS, NARROWS = ("is", "includes"), ("is_not", "lacks", "includes_all")
"""Tests that hold of more with more words, and of less."""


def is_same(was: Any, now: Any, limits: CoreLimits) -> bool:
    """Return whether a part decides the same."""
    if isinstance(was, tuple) and was and isinstance(was[0], tuple):
        return _rows_are_same(was, now, limits)
    if limits.number(was, of_core=True) is not None:
        return limits.are_same(was, now)
    if isinstance(was, tuple):
        return isinstance(now, tuple) and set(was) == set(now)
    return bool(was == now)


def _number(stricter: str, was: Any, now: Any, limits: CoreLimits) -> bool:
    """Return whether a number is the same, or lies on the stricter side."""
    if was is None:
        return now is None
    return limits.holds(was, now, stricter)


def _sooner_too(was: Any, now: Any, limits: CoreLimits) -> bool:
    """Return whether a time is kept, shorter, or newly set."""
    return was is None or _number(LESS, was, now, limits)


def _holds_all(was: Any, now: Any, limits: CoreLimits) -> bool:
    """Return whether everything named is still named, whatever else is."""
    del limits
    return set(was) <= set(now)


def _at_least_that(was: Any, now: Any, limits: CoreLimits) -> bool:
    """Return whether what was said is said, in whatever words."""
    del limits
    return not was or bool(now)


def _no_more_than_that(was: Any, now: Any, limits: CoreLimits) -> bool:
    """Return whether no way out is said where there was none."""
    del limits
    return bool(was) or not now


def _unknown_bars(was: Any, now: Any, limits: CoreLimits) -> bool:
    del limits
    return now in (was, "ask")


def _seen_both_ways(was: Any, now: Any, limits: CoreLimits) -> bool:
    del limits
    return now in (was, "either")


def _choices(was: Any, now: Any, limits: CoreLimits) -> bool:
    """Return whether as much can be chosen; a translation has no word of the core's."""
    del limits
    lost = set(was) - set(now)
    return not lost or (len(lost) == len(set(was)) <= len(set(now)))


def _grades(was: Any, now: Any, limits: CoreLimits) -> bool:
    del limits
    return {one.grade for one in was} == {one.grade for one in now}


def _positions(was: Any, now: Any, limits: CoreLimits) -> bool:
    del limits
    return {one.source for one in was} <= {one.source for one in now}


def _for_all_of_them(was: When, now: When, limits: CoreLimits) -> bool:
    """Return whether it holds wherever the core's does, or in more places."""
    if not now or not was:
        return not now
    return all(any(_covers(wide, row, limits) for wide in now) for row in was)


def _covers(wide: Row, row: Row, limits: CoreLimits) -> bool:
    """Return whether a row holds wherever another does."""
    return all(any(_is_wider(one, other, limits) for other in row) for one in wide)


def _is_wider(one: Comparison, other: Comparison, limits: CoreLimits) -> bool:
    if (one.fact, one.test) != (other.fact, other.test):
        return False
    if other.number is not None:
        return limits.are_same(other.number, one.number)
    if one.test in WIDENS:
        return set(other.words) <= set(one.words)
    return set(one.words) <= set(other.words)


def _rows_are_same(was: When, now: When, limits: CoreLimits) -> bool:
    return len(was) == len(now) and all(
        any(_is_same_row(row, own, limits) for own in now) for row in was
    )


def _is_same_row(row: Row, own: Row, limits: CoreLimits) -> bool:
    return len(row) == len(own) and all(
        any(_is_same_comparison(one, other, limits) for other in own) for one in row
    )


def _is_same_comparison(was: Comparison, now: Comparison, limits: CoreLimits) -> bool:
    if (was.fact, was.test) != (now.fact, now.test):
        return False
    if was.number is not None:
        return limits.are_same(was.number, now.number)
    return set(was.words) == set(now.words)


_less, _more = partial(_number, LESS), partial(_number, MORE)
JUDGES: dict[tuple[str, str], Judge] = {
    ("exclude", "when"): _for_all_of_them,
    ("exclude", "bars"): _holds_all,
    ("exclude", "if_unknown"): _unknown_bars,
    ("agent", "dry"): _more,
    ("agent", "residue"): _at_least_that,
    ("supply", "count"): _more,
    ("chart", "when"): _for_all_of_them,
    ("chart", "required"): _at_least_that,
    ("chart", "choices"): _choices,
    ("weighing", "counts_for"): _less,
    ("weighing", "asks_after"): _sooner_too,
    ("length_limit", "when"): _for_all_of_them,
    ("length_limit", "direction"): _seen_both_ways,
    ("length_limit", "at_least"): _less,
    ("length_limit", "above"): _less,
    ("scale", "grades"): _grades,
    ("concern", "when"): _for_all_of_them,
    ("concern", "signs"): _holds_all,
    ("concern", "hold"): _at_least_that,
    ("concern", "grade_at_least"): _less,
    ("concern", "rise_at_least"): _less,
    ("concern", "act_within"): _less,
    ("concern", "settle_within"): _less,
    ("round_item", "when"): _for_all_of_them,
    ("round_item", "may_not_apply"): _no_more_than_that,
    ("round_item", "finds"): _at_least_that,
    ("round_plan", "half_width"): _less,
    ("disagreement", "about"): _holds_all,
    ("disagreement", "positions"): _positions,
}
"""How a part is judged, by kind and part; any other must be the same."""
