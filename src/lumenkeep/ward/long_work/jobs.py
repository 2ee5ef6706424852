"""What a page asks of long work: begin it, see how far it is, stop it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.db import transaction
from django.db.models import Max
from django.db.models.functions import Now

from lumenkeep.ward.long_work import words
from lumenkeep.ward.long_work.kinds import kinds
from lumenkeep.ward.long_work.models import (
    MOST_KEPT,
    JobState,
    LongJob,
    WorkerBeat,
    packed,
    unpacked,
)
from lumenkeep.ward.long_work.work import work_on_next

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.db.models import QuerySet


@dataclass
class JobSoFar:
    """How far a job is.

    Attributes
    ----------
    parts
        What was told on the way.
    done
        The whole answer; None while it is still worked on.
    failed
        Why there is none; empty while all is well.
    progress
        0 to 1.
    nobody
        In words, that nobody is there to work on it; empty while somebody is.
    """

    parts: list[dict[str, Any]] = field(default_factory=list)
    done: dict[str, Any] | None = None
    failed: str = ""
    progress: float = 0.0
    nobody: str = ""

    @property
    def is_over(self) -> bool:
        """Whether nothing more will come."""
        return self.done is not None or bool(self.failed)


def ask(
    kind: str,
    key: str,
    question: Callable[[], dict[str, Any]],
    *,
    by: str = "",
    again: bool = False,
) -> JobSoFar:
    """Return how far a job is, begun if it is not yet, or ``again`` if it ended without answer.

    Parameters
    ----------
    kind
        A name in ``settings.LONG_WORK``.
    key
        What it is about: whoever names the same key is told of the same job.
    question
        Makes what its module is asked; called only where it is begun.
    by
        Key of the person who asks.
    """
    row = _row(kind, key)
    if row is not None:
        found = _so_far(row)
        if not (again and found.failed):
            _put_first(row)
            return found
        forget(kind, key)
    return _so_far(_begin(kind, key, packed(question()), by))


def find(kind: str, key: str) -> JobSoFar | None:
    """Return how far a job is that somebody asked for; None where nobody did."""
    row = _row(kind, key)
    return None if row is None else _so_far(row)


def forget(kind: str, key: str) -> None:
    """Forget a job that is over; asked for once more, it is begun anew."""
    LongJob.objects.filter(kind=kind, key=key, ended_at__isnull=False).delete()


def stop(kind: str, key: str) -> None:
    """Stop a job: at once where nobody works on it yet, else within a second or two."""
    this = LongJob.objects.filter(kind=kind, key=key)
    said = {"state": JobState.STOPPED, "fault": words.STOPPED, "ended_at": Now()}
    if not this.filter(state=JobState.WAITING).update(**said):
        this.filter(state=JobState.RUNNING).update(stop_asked=True)


def alive() -> QuerySet[WorkerBeat]:
    """Return the workers that are there; a beat of a time to come is no beat.

    It was written before the clock was set back, and would count for as long.
    """
    missed = _missed()
    return WorkerBeat.objects.filter(
        beat_at__gte=Now() - missed, beat_at__lte=Now() + missed
    )


def _missed() -> timedelta:
    return timedelta(seconds=settings.LONG_WORK_MISSED_SECONDS)


def _put_first(row: LongJob) -> None:
    """Let what somebody looks at now be worked on first, and be kept the longest.

    What is under way is looked at every second, and needs neither; for what is over, a
    look should seldom write.
    """
    if row.state == JobState.RUNNING:
        return
    may_lie_back = 0 if row.state == JobState.WAITING else MOST_KEPT // 2
    if (latest := _latest()) - row.asked > may_lie_back:
        LongJob.objects.filter(id=row.id).update(asked=latest + 1)


def _row(kind: str, key: str) -> LongJob | None:
    return LongJob.objects.filter(kind=kind, key=key).defer("question").first()


def _latest() -> int:
    return LongJob.objects.aggregate(latest=Max("asked"))["latest"] or 0


def _begin(kind: str, key: str, question: bytes, by: str) -> LongJob:
    fresh = {
        "question": question,
        "asked_by": by,
        "asked": _latest() + 1,
        "waits_since": Now(),
    }
    with transaction.atomic():
        # Of two who ask at once, one begins it.
        _, is_new = LongJob.objects.get_or_create(kind=kind, key=key, defaults=fresh)
        if is_new:
            work_on_next.using(queue_name=kinds()[kind].lane).enqueue()
    return LongJob.objects.defer("question").get(kind=kind, key=key)


def _so_far(row: LongJob) -> JobSoFar:
    done = unpacked(bytes(row.answer)) if row.state == JobState.DONE else None
    fault = row.fault
    if row.state == JobState.DONE and not done:
        done, fault = None, words.NOT_READABLE
    is_over = row.ended_at is not None
    return JobSoFar(
        row.told,
        done,
        fault,
        1.0 if done is not None else row.percent / 100,
        "" if is_over or _is_attended(row) else words.NOBODY_WORKS,
    )


def _is_attended(row: LongJob) -> bool:
    """Return whether somebody works on it, or has not had the time to begin yet."""
    if alive().exists():
        return True
    waits = LongJob.objects.filter(id=row.id, state=JobState.WAITING)
    return waits.filter(waits_since__gte=Now() - _missed()).exists()
