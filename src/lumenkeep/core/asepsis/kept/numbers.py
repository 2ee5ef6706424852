"""Numbers of the procedures: as published, or on the stricter side of it.

Which side that is the number says itself (`stricter`); the time of a published step may
be longer. Where a floor bounds a number the floor decides, elsewhere.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.kept.finding import ProcedureNotKept
from lumenkeep.core.asepsis.words import LEAST
from lumenkeep.core.policy.kept_numbers import otherwise
from lumenkeep.core.policy.numbers import MORE

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator
    from datetime import date

    from lumenkeep.core.asepsis.procedure import Bedside
    from lumenkeep.core.policy.numbers import Number

IN_PLACE = "."
"""What the id of a number holds that is written inside the step that takes it."""


def numbers_not_kept(
    shipped: Bedside,
    own: Bedside,
    day: date,
    elsewhere: Collection[str],
    folder: str,
) -> Iterator[ProcedureNotKept]:
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
        side = number.stricter or (MORE if id_ in rising else None)
        found = worse(number, mine, day, stricter=side) if mine else "is no more"
        if found is not None:
            yield ProcedureNotKept(
                id_,
                f"{number.means[:1].upper()}{number.means[1:]}: {found}.",
                (mine.where if mine else folder, number.where),
            )


def _times(bedside: Bedside) -> Iterator[str]:
    for steps in (*(p.steps for p in bedside.procedures.values()), bedside.moves):
        yield from (step.seconds for step in steps if step.seconds)


def worse(
    number: Number, mine: Number, day: date, *, stricter: str | None
) -> str | None:
    """Return how a number is said otherwise from a day on, as "published 15 s, here 5 s".

    None where it is the same, or lies on the stricter side ("less", "more").
    """
    found = otherwise(number, mine, day, stricter)
    if found is None:
        return None
    return f"published {found.was_words}, here {found.now_words}"
