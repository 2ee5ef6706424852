"""The ports of the outcomes, ready made for a request."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import reverse

from lumenkeep.ward.chart.store.children import DjangoChildren
from lumenkeep.ward.infections.infection import CONFIRMED, OVERRIDDEN, Infection
from lumenkeep.ward.infections.infections_of import infections_in
from lumenkeep.ward.outcomes.days import DjangoDays
from lumenkeep.ward.outcomes.records import InfectionEvent, OutcomeSources
from lumenkeep.ward.outcomes.repository import DjangoBook
from lumenkeep.ward.versions.in_force import ward_steps

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence
    from datetime import date

    from lumenkeep.ward.site.people import Clock, WardRecord

DECIDED = (CONFIRMED, OVERRIDDEN)


class ChartInfections:
    """Infections determined from the chart, with what was decided.

    Parameters
    ----------
    hospital
        All wards: their zones tell the calendar days.
    """

    def __init__(self, hospital: Sequence[WardRecord]) -> None:
        self._hospital = hospital

    def events(
        self, wards: Collection[str], first: date, last: date
    ) -> Sequence[InfectionEvent]:
        """Return infections counted for these wards, or waiting there; two queries."""
        found = infections_in(DjangoChildren(), self._hospital, None, first, last)
        events = [_event(infection) for infection in found]
        return [event for event in events if event.ward in wards]


def _event(infection: Infection) -> InfectionEvent:
    return InfectionEvent(
        str(infection.event),
        infection.ward or infection.lay_on or "",
        infection.on,
        "decided otherwise"
        if infection.status == OVERRIDDEN
        else infection.proposal.type,
        infection.is_clabsi,
        infection.is_barrier,
        infection.status in DECIDED,
        reverse("infection", args=[infection.event]),
        tuple(int(specimen[1:]) for specimen in infection.specimens),
    )


def outcome_sources(
    hospital: Sequence[WardRecord],
    seen: Sequence[WardRecord] | None = None,
    clock: Clock | None = None,
) -> OutcomeSources:
    """Return the ports on Django.

    Parameters
    ----------
    hospital
        All wards.
    seen
        Those that may be seen and compared; None: all.
    clock
        Tells when something is entered.
    """
    return OutcomeSources(
        hospital if seen is None else seen,
        DjangoDays(),
        DjangoBook(clock),
        ChartInfections(hospital),
        ward_steps(),
    )
