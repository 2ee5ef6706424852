"""Small wards in the test database."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any

from tests.fakes.chart import first_drafts

from lumenkeep.demo.hospital import WARDS
from lumenkeep.ward.chart.models import Child, LinePlace, Ward
from lumenkeep.ward.chart.store.repository import ChartRepository

if TYPE_CHECKING:
    from tests.fakes.clock import FixedClock


def make_wards() -> None:
    """Make the three wards of the demo hospital."""
    for order, ward in enumerate(WARDS):
        Ward.objects.create(
            key=ward.key, name=ward.name, zone=str(ward.zone), unit=ward.unit,
            policy_set=ward.policy_set, order=order,
        )  # fmt: skip


def add_line(
    chart: ChartRepository, clock: FixedClock, number: int, **told: Any
) -> str:
    """Add the child ``c-<number>`` with the line ``l-<number>``; return its key."""
    child, line = f"c-{number}", f"l-{number}"
    Child.objects.get_or_create(key=child, display_name=f"Demo Sorrel {number}")
    LinePlace.objects.create(key=line, child_id=child)
    chart.append(first_drafts(clock.at, child=child, line=line, **told), "quillmere")
    return line


def hospital_with_a_line(clock: FixedClock, **told: Any) -> ChartRepository:
    """Return a chart that holds the line ``l-1``, written a day ago."""
    make_wards()
    chart = ChartRepository(clock)
    now = clock.at
    clock.at -= timedelta(days=1)
    add_line(chart, clock, 1, **told)
    clock.at = now
    return chart
