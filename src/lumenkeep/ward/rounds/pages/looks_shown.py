"""The looks behind the figures of rounds: a row each, and what a person may see of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.urls import reverse

from lumenkeep.core.outcomes.rounds.look import NOT_KEPT, NOT_SEEN
from lumenkeep.ward.rounds.record_look import CORRECTS

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import tzinfo

    from lumenkeep.ward.rounds.repository import DjangoRounds
    from lumenkeep.ward.rounds.results import RoundResults
    from lumenkeep.ward.site.people import StaffRecord


@dataclass(frozen=True, slots=True)
class LookRow:
    """One look: when and where from; who looked and who was watched only for some.

    ``observer`` and ``observed`` are empty for those who may not see them.
    """

    number: int
    when: str
    line_href: str
    where_from: str
    not_kept: tuple[str, ...]
    not_seen: tuple[str, ...]
    note: str
    observer: str
    observed: str
    correct_href: str


def look_rows(
    book: DjangoRounds,
    found: RoundResults,
    person: StaffRecord,
    zone: tzinfo,
    names: Mapping[str, str],
) -> tuple[LookRow, ...]:
    """Return the looks, the newest first.

    An educator sees who looked and whose work was seen; anybody else only that a look
    is their own.
    """
    is_educator = person.role == "educator"
    numbers = [look.id for look in found.looks]
    watched = book.observed(numbers) if is_educator else {}
    notes = book.notes(numbers) if is_educator else {}
    rows = []
    for look in reversed(found.looks):
        is_own = look.observer == person.key
        href = reverse("round-look", args=[look.line])
        rows.append(
            LookRow(
                look.id,
                f"{look.at.astimezone(zone):%-d %b %Y, %H:%M}",
                reverse("line", args=[look.line]),
                "of the unit" if look.from_unit else "from outside",
                _items(found, look.answers, NOT_KEPT),
                _items(found, look.answers, NOT_SEEN),
                notes.get(look.id, ""),
                names.get(look.observer, "") if is_educator or is_own else "",
                names.get(watched.get(look.id, ""), ""),
                f"{href}?{CORRECTS}={look.id}" if is_educator or is_own else "",
            )
        )
    return tuple(rows)


def _items(
    found: RoundResults, answers: Mapping[str, str], answer: str
) -> tuple[str, ...]:
    return tuple(
        found.labels.get(i, i) for i, said in answers.items() if said == answer
    )
