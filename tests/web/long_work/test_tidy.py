"""What living workers do for dead ones, and what is forgotten in time."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django_tasks import task_backends
from tests.fakes.work_here import work_off

from lumenkeep.ward.long_work import jobs, tidy, words
from lumenkeep.ward.long_work.models import JobState, LongJob, WorkerBeat, packed
from lumenkeep.ward.long_work.worker import beat

pytestmark = pytest.mark.django_db
TRIED = "tests.fakes.tried_work"


@pytest.fixture(autouse=True)
def kinds(settings) -> None:
    from lumenkeep.ward.long_work.kinds import KindOfWork

    settings.LONG_WORK = {"one": KindOfWork(TRIED, "first", 600)}


def asked(tmp_path, *names: str) -> None:
    for name in names:
        question: dict[str, Any] = {"do": "", "name": name, "folder": str(tmp_path)}
        jobs.ask("one", name, lambda question=question: question)


def keys() -> list[str]:
    return list(LongJob.objects.order_by("asked").values_list("key", flat=True))


def enqueued() -> int:
    return len(task_backends["default"].results)


def test_answers_asked_for_longest_ago_are_forgotten(tmp_path, monkeypatch) -> None:
    monkeypatch.setattr(tidy, "MOST_KEPT", 2)
    asked(tmp_path, "a", "b", "c")
    assert work_off("first") == 3
    asked(tmp_path, "waits")

    tidy.tidy()

    assert keys() == ["b", "c", "waits"]


def test_that_there_was_no_answer_is_forgotten_after_a_day(tmp_path) -> None:
    asked(tmp_path, "long ago", "lately", "answered")
    long_ago = datetime.now(UTC) - timedelta(days=2)
    LongJob.objects.filter(key="lately").update(
        state=JobState.GIVEN_UP, ended_at=datetime.now(UTC)
    )
    LongJob.objects.filter(key="long ago").update(
        state=JobState.FAILED, ended_at=long_ago
    )
    LongJob.objects.filter(key="answered").update(
        state=JobState.DONE, ended_at=long_ago
    )

    tidy.tidy()

    assert keys() == ["lately", "answered"]


def test_what_waits_with_no_task_left_for_it_is_enqueued(tmp_path) -> None:
    asked(tmp_path, "a", "b")
    before = enqueued()

    tidy.tidy()

    assert enqueued() == before + 2


def test_only_what_a_dead_worker_had_is_given_back(tmp_path, settings) -> None:
    asked(tmp_path, "of the dead", "of the living", "of no kind")
    LongJob.objects.update(state=JobState.RUNNING, attempts=1, worker="living")
    LongJob.objects.filter(key="of the dead").update(worker="dead")
    LongJob.objects.filter(key="of no kind").update(worker="dead", kind="gone")
    beat("living")
    WorkerBeat.objects.create(
        name="dead", beat_at=datetime.now(UTC) - timedelta(minutes=5)
    )

    tidy.tidy()

    states = dict(LongJob.objects.values_list("key", "state"))
    assert states == {
        "of the dead": "waiting",
        "of the living": "running",
        "of no kind": "running",
    }
    assert list(WorkerBeat.objects.values_list("name", flat=True)) == ["living"]


def test_what_a_dead_worker_had_and_no_other_takes_over_is_told(tmp_path) -> None:
    asked(tmp_path, "a")
    LongJob.objects.update(state=JobState.RUNNING, attempts=1, worker="w")
    beat("w")
    told = jobs.find("one", "a")
    assert told is not None
    assert not told.nobody

    WorkerBeat.objects.update(beat_at=datetime.now(UTC) - timedelta(minutes=5))

    told = jobs.find("one", "a")
    assert told is not None
    assert "the process that does it is not running" in told.nobody
    assert not told.is_over


def test_who_was_taken_for_dead_writes_nothing_over_another_s_work(tmp_path) -> None:
    from lumenkeep.ward.long_work.work import Doing, claimed, give_back

    asked(tmp_path, "a")
    late = claimed("first", "late")
    assert late is not None
    assert give_back(late, "it was taken for dead")
    assert claimed("first", "other") is not None

    Doing(late)._end(JobState.FAILED, fault="Too late.")

    assert LongJob.objects.values_list("state", "worker", "fault").get() == (
        "running", "other", "",
    )  # fmt: skip


def test_a_beat_of_a_time_to_come_is_no_beat(tmp_path) -> None:
    """Its worker was killed, and then the clock was set back."""
    asked(tmp_path, "a")
    LongJob.objects.update(state=JobState.RUNNING, attempts=1, worker="ghost")
    WorkerBeat.objects.create(
        name="ghost", beat_at=datetime.now(UTC) + timedelta(hours=3)
    )

    tidy.tidy()

    assert not WorkerBeat.objects.exists()
    assert LongJob.objects.get().state == JobState.WAITING


def test_what_is_looked_at_again_is_kept_before_what_is_not(
    tmp_path, monkeypatch
) -> None:
    monkeypatch.setattr(tidy, "MOST_KEPT", 2)
    monkeypatch.setattr(jobs, "MOST_KEPT", 2)
    asked(tmp_path, "daily", "b", "c")
    assert work_off("first") == 3

    asked(tmp_path, "daily")
    tidy.tidy()

    assert keys() == ["c", "daily"]


@pytest.mark.parametrize("kept", [b"", b"no zlib", packed({}), packed([])])  # type: ignore[arg-type]
def test_an_answer_that_cannot_be_read_is_none(tmp_path, kept: bytes) -> None:
    asked(tmp_path, "a")
    assert work_off("first") == 1
    LongJob.objects.update(answer=kept)

    found = jobs.find("one", "a")
    assert found
    assert found.failed == words.NOT_READABLE
    jobs.ask(
        "one", "a", lambda: {"do": "", "name": "a", "folder": str(tmp_path)}, again=True
    )
    assert LongJob.objects.get().state == JobState.WAITING


def test_a_question_that_cannot_be_read_ends_no_worker(tmp_path) -> None:
    asked(tmp_path, "a", "b")
    LongJob.objects.filter(key="a").update(question=b"no zlib")

    assert work_off("first") == 2

    states = dict(LongJob.objects.values_list("key", "state"))
    assert states == {"a": JobState.FAILED, "b": JobState.DONE}
