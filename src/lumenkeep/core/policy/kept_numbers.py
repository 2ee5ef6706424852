"""Whether a number decides what the core's does, or something stricter, on every day."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from lumenkeep.core.policy.core import Core
from lumenkeep.core.policy.numbers import (
    LESS,
    MORE,
    DatedValue,
    Number,
    family_of,
    size_of,
    value_in_words,
)
from lumenkeep.core.policy.read_basics import INSIDE


@dataclass(frozen=True, slots=True)
class Otherwise:
    """The first day on which a number is not what it must be, and what it is then.

    ``now`` is None where it has no value yet, ``since`` where the day has come.
    """

    was: DatedValue
    was_unit: str
    now: DatedValue | None
    now_unit: str
    since: date | None

    @property
    def was_words(self) -> str:
        """What the core's number is."""
        return value_in_words(self.was.value, self.was_unit)

    @property
    def now_words(self) -> str:
        """What the set's is, and from when."""
        since = f" from {self.since} on" if self.since else ""
        value = self.now and value_in_words(self.now.value, self.now_unit)
        return f"{value or 'nothing'}{since}"


@dataclass(frozen=True, slots=True)
class CoreLimits:
    """The core's numbers and a set's, and the day from which their values count."""

    core: Core
    own: Mapping[str, Number]
    day: date

    def number(self, id_: object, *, of_core: bool) -> Number | None:
        """Return a number by its id, None for what is no number's id."""
        numbers = self.core.numbers if of_core else self.own
        return numbers.get(id_) if isinstance(id_, str) else None

    def are_same(self, was: str, now: str | None) -> bool:
        """Return whether two ids stand for one limit on every day."""
        return self.holds(was, now, None)

    def holds(self, was: str, now: str | None, stricter: str | None) -> bool:
        """Return whether the set's number is the core's, or lies on the stricter side.

        A number that both call by one name is held by itself, and not once more in
        each statement that names it.
        """
        number, own = self.core.numbers[was], self.own.get(now or "")
        if own is None:
            return False
        if was == now and (INSIDE not in was or self._is_an_end(was)):
            return True
        return otherwise(number, own, self.day, number.stricter or stricter) is None

    def _is_an_end(self, id_: str) -> bool:
        """Whether it is an end of a bound of the world, which a set restates openly."""
        return id_.partition(INSIDE)[0] in self.core.bounds


def otherwise(
    number: Number, own: Number, day: date, stricter: str | None
) -> Otherwise | None:
    """Return where a number is neither the core's nor stricter; None if nowhere.

    Parameters
    ----------
    number, own
        The core's, and the set's.
    day
        Every value from this day on counts.
    stricter
        "less" or "more": which side may be gone to; None: neither.
    """
    if family_of(number.unit) != family_of(own.unit):
        return Otherwise(number.values[-1], number.unit, own.values[-1], own.unit, None)
    starts = {v.start for one in (number, own) for v in one.values if v.start > day}
    for at in (day, *sorted(starts)):
        was, now = number.on(at), own.on(at)
        if was is not None and not _is_kept(was, now, stricter):
            since = at if at > day else None
            return Otherwise(was, number.unit, now, own.unit, since)
    return None


def _is_kept(was: DatedValue, now: DatedValue | None, stricter: str | None) -> bool:
    if now is None:
        return False
    step = size_of(now.value) - size_of(was.value)
    return step == 0 or stricter == (LESS if step < 0 else MORE)


def turned(number: Number, found: Otherwise) -> str:
    """Return in words what a number is, and what every set is held to."""
    side = {LESS: " or less", MORE: " or more"}.get(number.stricter or "", "")
    return (
        f"'{number.id}' is {found.now_words}; every set is held to "
        f"{found.was_words}{side}."
    )
