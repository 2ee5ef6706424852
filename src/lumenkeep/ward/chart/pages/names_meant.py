"""Names of organisms that are not understood, asked back right below their field."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.ward.chart.organism_names import names_of, not_understood
from lumenkeep.ward.chart.pages.fields import Field, pairs

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

GREW = "organisms"


def with_meant(
    fields: Iterable[Field], sent: Mapping[str, str], year: int
) -> tuple[Field, ...]:
    """Return a form's fields with a question for each name sent that no list knows.

    Parameters
    ----------
    sent
        What somebody sent; empty before.
    year
        Whose lists are asked.
    """
    found: list[Field] = []
    for field in fields:
        found.append(field)
        if field.name == GREW:
            found += (
                Field(
                    one.field,
                    one.asks,
                    "choice",
                    required=True,
                    choices=pairs(one.choices),
                )
                for one in not_understood(names_of(sent.get(GREW)), year)
            )
    return tuple(found)
