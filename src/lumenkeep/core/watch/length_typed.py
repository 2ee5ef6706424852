"""Judge a length where it is typed, before it is charted; and let a tablet do so alone.

The watch's own rules say whether the length would be *moved* or *measure-again*. Before
that a slip of the pen is looked for: a length that cannot be is refused and stays in the
field; one that a unit or a doubled digit explains, or that lies further away than lines
move, is asked back once. The card says the same in numbers to compare with, worked out
beforehand, so that nothing but comparing is left to do at a bedside without a network.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from functools import partial
from math import floor
from typing import TYPE_CHECKING, Any

from lumenkeep.core.watch.length import judge_lengths
from lumenkeep.core.watch.length_course import alike_keys
from lumenkeep.core.watch.length_values import LengthRules, Measured
from lumenkeep.core.watch.typed_words import (
    TYPED_LENGTH,
    UNLIKELY_BEFORE,
    again_with,
    base_words,
    change_words,
    way_of,
    written,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

FINE, IMPOSSIBLE, UNLIKELY = "fine", "impossible", "unlikely"
OFTEN_FAR = 3
"""Beyond so many times of how far a line moves, a length is asked back (1 of 370)."""
NEAR_MM, FINE_STEP_MM, WIDE_STEP_MM = 45, 1, 15
"""How closely the card is searched: each mm near the lengths, wider steps beyond."""
SHARP_MM = 0.005
LONG_AGO = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class TypedLength:
    """What a typed length is, and what to say.

    Attributes
    ----------
    state
        "impossible" (refuse, keep it in the field), "unlikely" (ask back once; typed
        again or confirmed it counts as ``then``), "measure-again", "moved" or "fine".
    then
        What it is once an unlikely length is confirmed; the same as ``state`` else.
    says
        The words; empty where it is fine.
    suggests_mm
        What was meant, where a unit or a doubled digit explains it.
    """

    state: str
    then: str
    says: str = ""
    suggests_mm: float | None = None


def judge_typed_length(
    earlier: Sequence[Measured],
    typed_mm: float,
    arm: str | None,
    rules: LengthRules,
    bounds: tuple[float, float],
    *,
    moved_do: str = "",
    is_before: bool = False,
) -> TypedLength:
    """Return what a length is that somebody has just typed.

    Parameters
    ----------
    earlier
        The lengths it would be compared with, in any order (mm); none is fine.
    typed_mm
        As typed (mm).
    arm
        How the arm lies; None where nobody said.
    rules
        The policy's, for this line and now.
    bounds
        The least and the greatest that can be (mm).
    moved_do
        What the policy asks where a line has moved.
    is_before
        Whether those lengths were measured after it: an insertion put right.
    """
    card = _Card(earlier, rules, bounds, moved_do)
    words = card.words(arm)
    if is_before:
        words["words"] = {**words["words"], UNLIKELY: UNLIKELY_BEFORE}
    return _judge(words, typed_mm, partial(card.state, arm=arm))


def typed_length_card(
    earlier: Sequence[Measured],
    rules: LengthRules,
    bounds: tuple[float, float],
    *,
    arms: Sequence[str] = (),
    moved_do: str = "",
) -> dict[str, Any]:
    """Return what a tablet needs to judge the next length by comparing numbers.

    Parameters are those of `judge_typed_length`; ``arms`` are the positions that may be
    charted. Lengths in mm::

        {"low": 0, "high": 600, "last": 11 or null, "far": 45 or null,
         "words": {"impossible": "{mm} mm …", "unlikely": …, "suggest": …,
                   "measure-again": …, "moved": …},
         "arms": {"": {"from": 12, "base": " from 12 mm at first", "again": "…",
                       "segments": [{"upto": 2.66, "state": "moved"}, …,
                                    {"upto": 600, "state": "moved"}]},
                  "at the side": {…}, …}}

    The arm ``""`` stands for an arm that nobody charted. A length belongs to the first
    segment whose ``upto`` is not less than it. `judge_by_card` is the whole of what is
    to be done with it.
    """
    card = _Card(earlier, rules, bounds, moved_do)
    named: list[str | None] = [None]
    named += sorted({*arms, *(one.arm for one in card.rows if one.arm is not None)})
    return {
        **card.frame(),
        "words": TYPED_LENGTH
        | {"moved": f"{TYPED_LENGTH['moved']} {moved_do}".strip()},
        "arms": {arm or "": card.of_arm(arm) for arm in named},
    }


def judge_by_card(
    card: dict[str, Any], typed_mm: float, arm: str | None
) -> TypedLength:
    """Return the same from a card: what a tablet does, comparing numbers only."""
    own = card["arms"].get(arm or "", card["arms"][""])
    words = {**card, **own}

    def state(mm: float) -> str:
        return next(one["state"] for one in own["segments"] if mm <= one["upto"])  # type: ignore[no-any-return]  # of a mapping

    return _judge(words, typed_mm, state)


def _judge(
    card: dict[str, Any], typed_mm: float, state_of: Callable[[float], str]
) -> TypedLength:
    low, high, last = card["low"], card["high"], card["last"]
    if not low <= typed_mm <= high:
        meant = _meant(typed_mm, card, state_of)
        says = _said(card, IMPOSSIBLE, typed_mm, meant)
        return TypedLength(IMPOSSIBLE, IMPOSSIBLE, says, meant)
    state = state_of(typed_mm)
    if state == FINE:
        return TypedLength(FINE, FINE)
    meant = _meant(typed_mm, card, state_of)
    is_far = card["far"] is not None and abs(typed_mm - last) > card["far"]
    if meant is not None or is_far:
        says = _said(card, UNLIKELY, typed_mm, meant)
        return TypedLength(UNLIKELY, state, says, meant)
    return TypedLength(state, state, _said(card, state, typed_mm, None))


def _meant(
    typed_mm: float, card: dict[str, Any], state_of: Callable[[float], str]
) -> float | None:
    """Return the whole number nearest to the last length that a slip explains.

    It must be fine itself; half millimetres are never what somebody meant.
    """
    last = card["last"]
    if last is None:
        return None
    low, high = card["low"], card["high"]
    likely = [
        mm
        for mm in slips(typed_mm)
        if mm == round(mm) and low <= mm <= high and state_of(mm) == FINE
    ]
    return min(likely, key=lambda mm: (abs(mm - last), mm), default=None)


def slips(typed: float) -> Iterator[float]:
    """Yield what may have been meant: another unit, or a digit typed once too often."""
    if typed <= 0:
        return
    yield written(typed * 10)
    yield written(typed / 10)
    digits = f"{typed:g}"
    for place in range(1, len(digits)):
        if digits[place] == digits[place - 1]:
            yield float(digits[:place] + digits[place + 1 :])


def _said(
    card: dict[str, Any], state: str, typed_mm: float, meant: float | None
) -> str:
    words = card["words"]
    change = typed_mm - card["from"] if card["from"] is not None else 0.0
    told = words[state].format(
        mm=f"{typed_mm:g}",
        low=f"{card['low']:g}",
        high=f"{card['high']:g}",
        last="" if card["last"] is None else f"{card['last']:g}",
        change=change_words(change),
        way=way_of(change),
        base=card["base"],
        again=card["again"],
    )
    if meant is None:
        return str(told)
    return f"{told} {words['suggest'].format(suggest=f'{meant:g}')}"


class _Card:
    """A line's earlier lengths, ready to judge the next one."""

    def __init__(
        self,
        earlier: Sequence[Measured],
        rules: LengthRules,
        bounds: tuple[float, float],
        moved_do: str,
    ) -> None:
        self.rows = sorted(earlier, key=lambda one: (one.at, one.entry))
        self.rules, self.moved_do = rules, moved_do
        self.low, self.high = bounds

    def frame(self) -> dict[str, Any]:
        """Return what holds for every position of the arm."""
        last = self.rows[-1].mm if self.rows else None
        far = None
        if last is not None and self.rules.error is not None:
            far = OFTEN_FAR * self.rules.error.usual_move
        return {"low": self.low, "high": self.high, "last": last, "far": far}

    def words(self, arm: str | None) -> dict[str, Any]:
        """Return what is said of a length with the arm so."""
        base = self._compared(arm)
        moved = f"{TYPED_LENGTH['moved']} {self.moved_do}".strip()
        return {
            **self.frame(),
            "words": TYPED_LENGTH | {"moved": moved},
            "from": None if base is None else base.mm,
            "base": self._named(base),
            "again": again_with(None if base is None else base.arm, arm),
        }

    def state(self, mm: float, arm: str | None) -> str:
        """Return what the watch would say of the next length."""
        if not self.rows:
            return FINE
        last = self.rows[-1]
        entry = max(one.entry for one in self.rows) + 1
        rows = [*self.rows, Measured(entry, last.at, mm, arm)]
        state = judge_lengths(rows, self.rules).state
        return state if state in ("moved", "measure-again") else FINE

    def of_arm(self, arm: str | None) -> dict[str, Any]:
        """Return the card of one position of the arm."""
        words = self.words(arm)
        state = partial(self.state, arm=arm)
        segments = list(_segments(self._places(), state, self.high))
        said = {key: words[key] for key in ("from", "base", "again")}
        return {**said, "segments": segments}

    def _named(self, base: Measured | None) -> str:
        """Return what a length is compared with, ready to follow "out" or "in"."""
        if base is None:
            return ""
        arm = None if base is self.rows[0] else base.arm
        return f" from {base_words(base.mm, arm)}"

    def _compared(self, arm: str | None) -> Measured | None:
        """Return the first length with the arm alike, else the first of all."""
        if not self.rows:
            return None
        tried = Measured(0, self.rows[-1].at, 0, arm)
        *keys, own = alike_keys([*self.rows, tried], self.rules)
        alike = [
            one
            for one, key in zip(self.rows, keys, strict=True)
            if own is not None and key == own
        ]
        return (alike or self.rows)[0]

    def _places(self) -> list[float]:
        """Return where to look: every mm near a length, wider apart beyond."""
        lengths = [one.mm for one in self.rows]
        first, last = min(lengths, default=0.0), max(lengths, default=0.0)
        near = range(round(first) - NEAR_MM, round(last) + NEAR_MM + 1, FINE_STEP_MM)
        wide = range(round(self.low), round(self.high) + 1, WIDE_STEP_MM)
        inside = {float(mm) for mm in (*near, *wide) if self.low < mm < self.high}
        return [self.low, *sorted(inside), self.high]


def _segments(
    places: Sequence[float], state: Callable[[float], str], high: float
) -> Iterator[dict[str, Any]]:
    """Yield the stretches of one state, from the least length to the greatest."""
    before, now = places[0], state(places[0])
    for place in places[1:]:
        here = state(place)
        if here != now:
            yield {"upto": _border(before, place, now, state), "state": now}
        before, now = place, here
    yield {"upto": high, "state": now}


def _border(
    low: float, high: float, of_low: str, state: Callable[[float], str]
) -> float:
    """Return where one state ends, to the hundredth of a millimetre below it."""
    while high - low > SHARP_MM:
        middle = (low + high) / 2
        if state(middle) == of_low:
            low = middle
        else:
            high = middle
    return floor(low * 100) / 100
