"""The steps of a version's life in the database, and what the wards work with then."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import IntegrityError, connection, transaction
from tests.fakes.at_ward import at_ward
from tests.fakes.by_hand import chart_task
from tests.fakes.clock import NOON, FixedClock
from tests.web.hospital import hospital_with_a_line
from tests.web.policies.life.versions_made import AGATE, BERYL, draft_with, proved

from lumenkeep.core.policy import load_policy
from lumenkeep.errors import StoreError
from lumenkeep.ward.chart.lines_now import replay_plan
from lumenkeep.ward.chart.models import EntryRow, PolicyVersion
from lumenkeep.ward.chart.store.policies import PoliciesInForce
from lumenkeep.ward.policies.repository import VersionRepository
from lumenkeep.ward.policies.steps import (
    approve,
    call_off,
    hand_over,
    put_in_force,
    retire,
)
from lumenkeep.ward.site.guarding import guards_of
from lumenkeep.ward.versions.life import LifeError
from lumenkeep.ward.versions.models import PolicyStep
from lumenkeep.ward.versions.records import NewStep

pytestmark = pytest.mark.django_db


@pytest.fixture
def clock() -> FixedClock:
    return FixedClock()


@pytest.fixture
def chart(clock):
    return hospital_with_a_line(clock)


@pytest.fixture
def repository(chart, clock) -> VersionRepository:
    return VersionRepository()


@pytest.fixture
def approved(repository, clock):
    """A version with a lower film stay, approved by the second educator."""
    draft = draft_with(repository, clock, "dressing-transparent", 5)
    version = proved(repository, clock, draft)
    approve(repository, clock, version.id, BERYL)
    return version


def _digest(clock: FixedClock, ward: str) -> str:
    return PoliciesInForce(clock).in_force("quillmere", ward).digest


def test_a_draft_whose_proof_is_of_another_text_is_not_kept(repository, clock) -> None:
    draft = draft_with(repository, clock, "dressing-transparent", 5)
    before = PolicyVersion.objects.count()

    for proof in (None, {"proved": False}):
        with pytest.raises(LifeError):
            hand_over(repository, clock, draft, AGATE, proof)

    assert PolicyVersion.objects.count() == before
    assert not PolicyStep.objects.exists()


def test_a_version_is_kept_whole_and_can_be_read_again(approved, repository) -> None:
    kept = repository.version(approved.id)

    assert [layer.name for layer in kept.layers] == [
        "published",
        "quillmere",
        "quillmere-own",
    ]
    assert [s.kind for s in repository.steps(approved.id)] == [
        "drafted",
        "proved",
        "approved",
    ]


def test_from_its_instant_a_ward_works_with_the_version_and_others_do_not(
    approved, repository, clock
) -> None:
    start = clock.now() + timedelta(hours=2)
    put_in_force(
        repository, clock, approved.id, AGATE, wards=["kestrel"], starts_at=start
    )

    assert _digest(clock, "kestrel") == load_policy("quillmere").digest
    clock.at = start
    assert _digest(clock, "kestrel") == approved.digest
    assert _digest(clock, "wren") == load_policy("quillmere").digest


def test_what_was_charted_keeps_its_version_and_a_replay_uses_the_one_of_then(
    approved, repository, clock, chart
) -> None:
    before = clock.now()
    clock.move(hours=1)
    put_in_force(
        repository, clock, approved.id, AGATE, wards=["kestrel"], starts_at=None
    )
    clock.move(minutes=5)
    chart_task(
        chart, PoliciesInForce(clock), clock,
        line="l-1", task="line-review",
        typed={"done-at": "2026-11-25 13:01", "still-needed": "yes"},
        by="s-agate",
    )  # fmt: skip

    old, new = EntryRow.objects.order_by("id").first(), EntryRow.objects.last()
    assert old.policy.digest == load_policy("quillmere").digest
    assert new.policy.digest == approved.digest
    at = at_ward(chart, clock, PoliciesInForce(clock))
    then = replay_plan(at, "l-1", before)
    now = replay_plan(at, "l-1", clock.now())
    assert then.plan.policy_set == "quillmere"
    assert now.plan.policy_set == "quillmere-own"
    assert then.is_on_record


def test_a_planned_start_is_called_off_and_never_comes(
    approved, repository, clock
) -> None:
    start = clock.now() + timedelta(hours=2)
    (planned,) = put_in_force(
        repository, clock, approved.id, AGATE, wards=["wren"], starts_at=start
    )
    call_off(repository, clock, planned.id, AGATE)
    clock.move(hours=3)

    assert _digest(clock, "wren") == load_policy("quillmere").digest
    put_in_force(repository, clock, approved.id, AGATE, wards=["wren"], starts_at=None)
    assert _digest(clock, "wren") == approved.digest


def test_a_retired_version_gives_the_ward_back(approved, repository, clock) -> None:
    put_in_force(repository, clock, approved.id, AGATE, wards=["wren"], starts_at=None)
    clock.move(hours=1)
    retire(repository, clock, approved.id, AGATE)

    assert _digest(clock, "wren") == load_policy("quillmere").digest
    with pytest.raises(LifeError):
        put_in_force(
            repository, clock, approved.id, AGATE, wards=["wren"], starts_at=None
        )


# ------------------------------------------------- what the database itself refuses


def _refused(repository: VersionRepository, *steps: NewStep) -> None:
    with pytest.raises(StoreError, match="policy-life-refused"):
        repository.add_steps(steps, NOON)


def test_the_record_refuses_what_the_rules_forbid(approved, repository, clock) -> None:
    id_, now = approved.id, clock.now()
    other = proved(
        repository, clock, draft_with(repository, clock, "dressing-gauze", 1)
    ).id
    unproved = PolicyVersion.objects.exclude(pk__in=[id_, other]).first().pk

    _refused(repository, NewStep(unproved, "approved", "s-beryl"))
    _refused(repository, NewStep(other, "approved", "s-agate"))
    _refused(
        repository, NewStep(other, "in-force", "s-beryl", ward="wren", starts_at=now)
    )
    _refused(repository, NewStep(id_, "in-force", "s-beryl", ward="wren"))
    past = now - timedelta(seconds=1)
    _refused(
        repository, NewStep(id_, "in-force", "s-beryl", ward="wren", starts_at=past)
    )
    _refused(repository, NewStep(id_, "called-off", "s-beryl"))


def test_no_two_versions_start_on_one_ward_at_one_instant(approved, repository, clock):
    second = proved(
        repository, clock, draft_with(repository, clock, "dressing-gauze", 1)
    )
    approve(repository, clock, second.id, BERYL)
    start = clock.now() + timedelta(hours=1)
    one = NewStep(approved.id, "in-force", "s-agate", ward="wren", starts_at=start)
    repository.add_steps([one], NOON)

    for hours in (0, 1):
        at = clock.now() + timedelta(hours=hours)
        _refused(
            repository,
            NewStep(second.id, "in-force", "s-agate", ward="wren", starts_at=at),
        )
    repository.add_steps(
        [NewStep(second.id, "in-force", "s-agate", ward="heron", starts_at=start)],
        NOON,
    )


def test_a_refused_step_takes_the_others_of_its_kind_with_it(
    approved, repository, clock
):
    now = clock.now()
    _refused(
        repository,
        NewStep(approved.id, "in-force", "s-agate", ward="wren", starts_at=now),
        NewStep(approved.id, "in-force", "s-agate", ward="wren", starts_at=now),
    )

    assert not PolicyStep.objects.filter(kind="in-force").exists()


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE policy_step SET by = 's-other'",
        "DELETE FROM policy_step",
        "INSERT OR REPLACE INTO policy_step SELECT * FROM policy_step LIMIT 1",
    ],
)
def test_a_step_stays_as_it_was_written(approved, statement: str) -> None:
    with (
        pytest.raises(IntegrityError, match="stay as they were written"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(statement)


def test_every_guard_stands_after_all_migrations() -> None:
    with connection.cursor() as cursor:
        cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        standing = {name for (name,) in cursor.fetchall()}

    assert set(guards_of("policy_life").names()) <= standing
