"""Fill the demo hospital: chart, staff and accounts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib.auth.hashers import make_password
from django.contrib.auth.models import User
from django.db import transaction

from lumenkeep.core.policy.archive import policy_from_texts
from lumenkeep.demo import draft
from lumenkeep.demo.fill_outcomes import fill_outcomes
from lumenkeep.demo.fill_rounds import fill_rounds
from lumenkeep.demo.people import STAFF
from lumenkeep.demo.scenario import scenario
from lumenkeep.ward.chart.models import EntryRow, StaffProfile, Ward
from lumenkeep.ward.chart.store.load import load
from lumenkeep.ward.chart.store.policies import record_version
from lumenkeep.ward.policies.parts import Parts
from lumenkeep.ward.policies.repository import DjangoShelf, version_record

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import datetime

    from lumenkeep.ward.site.people import StaffRecord

DEMO_PASSWORD = "demo-only-quillmere"  # noqa: S105  printed at every start, invented data


def is_filled() -> bool:
    """Return whether the chart holds anything."""
    return EntryRow.objects.exists()


def fill_demo(now: datetime, say: Callable[[str], None]) -> int:
    """Fill the empty database with the demo hospital as of ``now``.

    Returns
    -------
    int
        How many lines are in place.
    """
    hospital = scenario(now)
    with transaction.atomic():
        lines = load(
            hospital.wards,
            [(child.key, child.name) for child in hospital.children],
            [(line.key, line.child) for line in hospital.lines],
            hospital.entries,
            say,
        )
        make_accounts(hospital.people, DEMO_PASSWORD)
        start_a_draft(now)
        fill_outcomes(hospital.wards, now)
        fill_rounds(hospital.entries, now)
    return lines


def start_a_draft(now: datetime) -> None:
    """Start the change of policy that the demo's educator is working on."""
    ward = Ward.objects.get(key=draft.WARD)
    shelf = DjangoShelf()
    base = version_record(record_version(ward.policy_set, now))
    title = policy_from_texts(base.layers).title
    started = shelf.start_draft(base, title, draft.BY, now)
    parts = Parts.of(started.layers)
    number = parts.table("number", draft.NUMBER) or {}
    first = number["values"][0]["from"]
    dated = {"from": first, "value": draft.VALUE, "source": draft.SOURCE}
    files = parts.with_part("number", draft.NUMBER, {**number, "values": [dated]})
    shelf.save_draft(started, files, draft.BY, now)


def make_accounts(people: Sequence[StaffRecord], password: str) -> None:
    """Make an account for each of the staff, all with one password."""
    # One slow hash for all of them: they share the password anyway.
    hashed = make_password(password)
    for person in people:
        user = User.objects.create(username=account_name(person), password=hashed)
        StaffProfile.objects.create(
            user=user,
            key=person.key,
            display_name=person.name,
            role=person.role,
            ward_id=person.ward,
            glove=person.glove or "",
        )


def account_name(person: StaffRecord) -> str:
    """Return what a demo person types to sign in, as in "agate"."""
    return person.name.rsplit(maxsplit=1)[-1].lower()


def demo_accounts() -> list[tuple[str, str, str]]:
    """Return sign-in name, role and ward of the accounts that show most."""
    shown = ("s-agate", "s-beryl", "s-basalt", "s-jasper", "s-onyx", "s-quartz")
    return [
        (account_name(p), p.role.replace("-", " "), p.ward or "all wards")
        for p in STAFF
        if p.key in shown
    ]
