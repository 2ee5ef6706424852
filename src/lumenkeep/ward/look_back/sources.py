"""Where a look-back comes from, ready made for one request or command."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.ward.chart.models import PolicyVersion
from lumenkeep.ward.chart.store.children import ChildRepository
from lumenkeep.ward.chart.store.policies import PoliciesInForce
from lumenkeep.ward.concerns.repository import ConcernRepository
from lumenkeep.ward.look_back.request import LookBackSources
from lumenkeep.ward.outcomes.outcomes_of import outcome_sources
from lumenkeep.ward.rounds.repository import RoundRepository
from lumenkeep.ward.versions.in_force import ward_steps

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.ward.site.people import Clock, WardRecord


def look_back_sources(hospital: Sequence[WardRecord], clock: Clock) -> LookBackSources:
    """Return the sources; every ward, so whoever asks must be asked first."""
    names = PolicyVersion.objects.values_list("pk", "set_id", "version")
    return LookBackSources(
        hospital,
        ChildRepository(),
        PoliciesInForce(clock),
        ward_steps(),
        {pk: f"{set_id} {version}" for pk, set_id, version in names},
        {
            "outcomes": outcome_sources(hospital, clock=clock),
            "concerns": ConcernRepository(),
            "rounds": RoundRepository(clock),
        },
    )
