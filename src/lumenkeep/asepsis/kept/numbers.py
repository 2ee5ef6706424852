"""Numbers of the procedures: as published, or on the stricter side of it.

Which side that is the data say: the time of a published step may be longer. Where a
floor bounds a number the floor decides, elsewhere. Of any other nobody can know.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.asepsis.kept.finding import NotKept
from lumenkeep.asepsis.words import LEAST
from lumenkeep.model.times import CalendarSpan, Elapsed
from lumenkeep.policy.numbers import value_in_words

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator
    from datetime import date

    from lumenkeep.asepsis.procedure import Bedside
    from lumenkeep.policy.numbers import DatedValue, Number

IN_PLACE = "."
"""What the id of a number holds that is written inside the step that takes it."""


def numbers_not_kept(
    shipped: Bedside,
    own: Bedside,
    day: date,
    elsewhere: Collection[str],
    folder: str,
) -> Iterator[NotKept]:
    """Yield the numbers of the published procedures that a set says otherwise.

    Parameters
    ----------
    day
        From this day on every value counts.
    elsewhere
        Ids of numbers that are held elsewhere: by a floor, or with the set's rules.
    folder
        What messages call the set's files.
    """
    rising = {*LEAST.values(), *_times(shipped)}
    for id_, number in shipped.numbers.items():
        if IN_PLACE in id_ or id_ in elsewhere:
            continue  # the step that takes it is held itself
        mine = own.numbers.get(id_)
        found = (
            worse(number, mine, day, may_rise=id_ in rising) if mine else "is no more"
        )
        if found is not None:
            yield NotKept(
                id_,
                f"{number.means[:1].upper()}{number.means[1:]}: {found}.",
                (mine.where if mine else folder, number.where),
            )


def _times(bedside: Bedside) -> Iterator[str]:
    for steps in (*(p.steps for p in bedside.procedures.values()), bedside.moves):
        yield from (step.seconds for step in steps if step.seconds)


def worse(number: Number, mine: Number, day: date, *, may_rise: bool) -> str | None:
    """Return how a number is said otherwise from a day on, as "was 15 s, is 5 s".

    None where it is the same, or where it may rise and does.
    """
    starts = {v.start for v in (*number.values, *mine.values) if v.start > day}
    for at in (day, *sorted(starts)):
        was, is_ = number.on(at), mine.on(at)
        if was is None:
            continue
        if is_ is None or _size(is_) < _size(was):
            return _told(number, mine, was, is_, at, day)
        if not may_rise and _size(is_) != _size(was):
            return _told(number, mine, was, is_, at, day)
    return None


def _told(
    number: Number,
    mine: Number,
    was: DatedValue,
    is_: DatedValue | None,
    at: date,
    day: date,
) -> str:
    now = value_in_words(is_.value, mine.unit) if is_ else "nothing"
    since = f" from {at} on" if at > day else ""
    return f"published {value_in_words(was.value, number.unit)}, here {now}{since}"


def _size(value: DatedValue) -> float:
    inner = value.value
    if isinstance(inner, Elapsed | CalendarSpan):
        return inner.nominal_hours()
    return float(inner)
