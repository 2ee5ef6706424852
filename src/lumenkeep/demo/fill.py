"""Fill the demo hospital: chart, staff, accounts, counts and rounds."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from random import Random
from typing import TYPE_CHECKING

from django.contrib.auth.hashers import make_password
from django.contrib.auth.models import User
from django.db import transaction

from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.archive import policy_from_texts
from lumenkeep.demo.hospital import (
    DRAFT_BY,
    DRAFT_NUMBER,
    DRAFT_SOURCE,
    DRAFT_VALUE,
    DRAFT_WARD,
    POLICY_SET,
    STAFF,
)
from lumenkeep.demo.rounds import tell_rounds
from lumenkeep.demo.scenario import SEED, scenario
from lumenkeep.ward.chart.models import EntryRow, StaffProfile, Ward
from lumenkeep.ward.chart.store.load import load
from lumenkeep.ward.chart.store.policies import record_version
from lumenkeep.ward.outcomes.count_days import count_days
from lumenkeep.ward.outcomes.models import HandCount
from lumenkeep.ward.outcomes.records import NewBaseline, ReferenceStratum
from lumenkeep.ward.outcomes.repository import OutcomeRepository
from lumenkeep.ward.outcomes.sources import DayRepository
from lumenkeep.ward.policies.parts import Parts
from lumenkeep.ward.policies.repository import VersionRepository, version_record
from lumenkeep.ward.rounds.models import LookRow

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.outcomes.daily_count import CountedDay
    from lumenkeep.ward.site.people import StaffRecord, WardRecord

UNITS = {"kestrel": "other", "wren": "newborn", "heron": "specialty"}
RULE = "Rule of the invented ward"
BY = "s-agate"
COUNTED_BY_HAND = {"kestrel": 0.1, "heron": 0.22}
"""On which share of days the hand and the chart differ by one; made up."""
BACK = timedelta(days=126)
TABLE = "Invented reference rates of Quillmere, for the demo alone"


def fill_outcomes(wards: Sequence[WardRecord], now: datetime) -> None:
    """Write hours, counts by hand and a baseline, as of ``now`` (UTC)."""
    book = OutcomeRepository()
    for ward in wards:
        book.set_hour(ward.key, date(2024, 1, 1), time(6), UNITS[ward.key], RULE, BY)
    today = now.astimezone(wards[0].zone).date()
    first = (today - BACK).replace(day=1) + timedelta(days=31)
    first = first.replace(day=1)
    counted = count_days(DayRepository(), book, wards, first, today, now)
    for key, share in COUNTED_BY_HAND.items():
        _count_by_hand(key, counted[key], share, now)
    book.add_baseline(
        NewBaseline(
            "heron", "infections", date(today.year - 1, 1, 1),
            date(today.year, 12, 31), TABLE, BY,
            strata=(
                ReferenceStratum("temporary", 21.0, 12_000.0),
                ReferenceStratum("permanent", 9.0, 11_500.0),
            ),
        ),
        "demo-baseline",
    )  # fmt: skip


def _count_by_hand(
    ward: str, days: Sequence[CountedDay], share: float, now: datetime
) -> None:
    """Write what somebody counted: as the chart, but for a child missed now and then."""
    rng = Random(f"by-hand/{ward}")  # noqa: S311  invented
    rows = []
    for day in days:
        if day.count is None or day.at is None:
            continue
        # Later months drift, so that on one ward the two fall apart.
        missed = rng.random() < share
        with_line = max(0, day.count.with_line - missed)
        if ward == "heron" and day.on.month % 2 and rng.random() < share * 4:
            with_line = max(0, with_line - 1)
        rows.append(
            HandCount(
                ward_id=ward,
                on=day.on,
                children=day.count.children,
                with_line=with_line,
                by=BY,
                written_at=min(now, day.at + timedelta(minutes=25)),
                submission=f"demo-{ward}-{day.on}",
            )
        )
    HandCount.objects.bulk_create(rows)


def fill_rounds(entries: Sequence[Entry], now: datetime) -> None:
    """Write the looks of the demo, as of ``now`` (UTC)."""
    policy = load_policy(POLICY_SET)
    LookRow.objects.bulk_create(
        LookRow(
            ward_id=told.ward,
            line_id=told.line,
            at=told.at,
            written_at=told.at,
            observer=told.observer,
            from_unit=told.from_unit,
            observed=told.observed or "",
            answers=dict(told.answers),
            policy=policy.digest,
            submission=f"demo-look-{number}",
        )
        for number, told in enumerate(tell_rounds(SEED, entries, policy, now))
    )


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
    ward = Ward.objects.get(key=DRAFT_WARD)
    repository = VersionRepository()
    base = version_record(record_version(ward.policy_set, now))
    title = policy_from_texts(base.layers).title
    started = repository.start_draft(base, title, DRAFT_BY, now)
    parts = Parts.of(started.layers)
    number = parts.table("number", DRAFT_NUMBER) or {}
    first = number["values"][0]["from"]
    dated = {"from": first, "value": DRAFT_VALUE, "source": DRAFT_SOURCE}
    files = parts.with_part("number", DRAFT_NUMBER, {**number, "values": [dated]})
    repository.save_draft(started, files, DRAFT_BY, now)


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
