"""What an action is handed in a test: a ward's context, and what somebody sent."""

from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING, Any

from tests.fakes.chart import ShippedPolicies

from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.acting import WardContext
from lumenkeep.ward.site.people import StaffRecord
from lumenkeep.ward.site.sent import Sent

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

PEOPLE = {person.key: person for person in STAFF}
_forms = count()


class DemoStaff:
    """Plays the staff port."""

    def people(self, ward: str | None) -> Sequence[StaffRecord]:
        return [one for one in STAFF if ward is None or one.ward in (None, ward)]


class Everybody:
    """Plays the staff port where who works where does not matter."""

    def people(self, ward: str | None) -> Sequence[StaffRecord]:
        return STAFF


def at_ward(
    chart: Any, clock: Any, policies: Any = None, staff: Any = None
) -> WardContext:
    """Return what an action works with: this chart, and the shipped policies."""
    return WardContext(
        chart, policies or ShippedPolicies(), staff or DemoStaff(), clock
    )


def sent(
    typed: Mapping[str, str] | None = None,
    by: StaffRecord | str = "s-flint",
    submission: str | None = None,
    ticked: Mapping[str, Sequence[str]] | None = None,
) -> Sent:
    """Return a form as sent, under a key of its own where none is given."""
    if isinstance(by, str):
        by = PEOPLE.get(by) or StaffRecord(by, by, "nurse", None, None)
    key = f"form-{next(_forms)}" if submission is None else submission
    return Sent(typed or {}, by, key, ticked or {})
