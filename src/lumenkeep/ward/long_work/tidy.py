"""What living workers do for dead ones, and for the room that the tables take."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from django.db import transaction
from django.db.models.functions import Now
from django_tasks_db.models import DBTaskResult

from lumenkeep.ward.long_work.jobs import alive
from lumenkeep.ward.long_work.kinds import kinds, kinds_in, lanes
from lumenkeep.ward.long_work.models import MOST_KEPT, JobState, LongJob, WorkerBeat
from lumenkeep.ward.long_work.work import give_back, work_on_next

if TYPE_CHECKING:
    from collections.abc import Collection

FAULTS_FOR = timedelta(days=1)
"""So long it is remembered that there was no answer; then whoever asks begins it anew."""


def tidy() -> None:
    """Give back what dead workers had, see that whatever waits is run, and prune.

    Any worker does it, as often as it likes, beside any other.
    """
    with transaction.atomic():
        WorkerBeat.objects.exclude(name__in=alive().values("name")).delete()
        there = set(WorkerBeat.objects.values_list("name", flat=True))
        _give_back_what_is_left(there)
        for lane in lanes():
            _enqueue_what_waits(lane)
        _prune()


def _give_back_what_is_left(there: Collection[str]) -> None:
    # A kind that a newer version no longer has is nobody's.
    left = LongJob.objects.filter(state=JobState.RUNNING, kind__in=kinds())
    left = left.exclude(worker__in=there)
    for job in left.defer("question", "answer"):
        give_back(job, f"its worker {job.worker} is dead")
    for run in DBTaskResult.objects.running():
        if "".join(run.worker_ids[-1:]).partition(".")[0] not in there:
            run.delete()


def _enqueue_what_waits(lane: str) -> None:
    waiting = LongJob.objects.filter(
        kind__in=kinds_in(lane), state=JobState.WAITING
    ).count()
    ready = DBTaskResult.objects.ready().filter(queue_name=lane).count()
    for _ in range(waiting - ready):
        work_on_next.using(queue_name=lane).enqueue()


def _prune() -> None:
    DBTaskResult.objects.finished().delete()
    over = LongJob.objects.filter(ended_at__isnull=False)
    over.exclude(state=JobState.DONE).filter(ended_at__lt=Now() - FAULTS_FOR).delete()
    oldest = over.order_by("-asked").values_list("asked", flat=True)[MOST_KEPT:][:1]
    for asked in oldest:
        over.filter(asked__lte=asked).delete()
