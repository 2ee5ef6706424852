"""Do a job: the task that a worker runs, and what becomes of the job by it."""

from __future__ import annotations

import logging
import time
from dataclasses import dataclass, field
from threading import Event
from typing import TYPE_CHECKING, Any

from django.db.models import F
from django.db.models.functions import Now
from django_tasks import task

from lumenkeep.ward.long_work import words
from lumenkeep.ward.long_work.kinds import kinds, kinds_in
from lumenkeep.ward.long_work.models import JobState, LongJob, packed, unpacked
from lumenkeep.ward.long_work.own_process import OwnProcess

if TYPE_CHECKING:
    from django.db.models import QuerySet
    from django_tasks.base import TaskContext

log = logging.getLogger(__name__)

PAUSE_SECONDS = 1.0
"""How far it is is written at most so often (s), and so soon a stop is seen."""
MOST_ATTEMPTS = 3

stopping = Event()
"""Set where this process is to end: what it works on is then handed back."""


@task(takes_context=True)
def work_on_next(context: TaskContext) -> None:
    """Work on whichever job of the queue's lane waits and was asked for last.

    As many of these are enqueued as jobs wait; one that finds none has nothing to do.
    """
    result = context.task_result
    # A worker's name, and its lane behind it.
    name = result.worker_ids[-1].partition(".")[0]
    job = claimed(result.task.queue_name, name)
    if job is None:
        return
    try:
        Doing(job).do()
    except Exception:
        # Nobody would know whose it is: this worker ends, and another takes it over.
        stopping.set()
        raise


def claimed(lane: str, worker: str) -> LongJob | None:
    """Return the job that ``worker`` is to work on now, taken by nobody else."""
    waiting = LongJob.objects.filter(kind__in=kinds_in(lane), state=JobState.WAITING)
    while (job := waiting.order_by("-asked", "-id").first()) is not None:
        taken = {
            "state": JobState.RUNNING,
            "worker": worker,
            "attempts": F("attempts") + 1,
        }
        if waiting.filter(id=job.id).update(**taken):
            job.refresh_from_db()
            return job
    return None


@dataclass
class Doing:
    """One attempt at a job. It writes nothing more once the job is no longer its own."""

    job: LongJob
    progress: float = 0.0
    parts: list[dict[str, Any]] = field(default_factory=list)
    done: dict[str, Any] | None = None
    failed: str = ""
    written: tuple[int, int] = (0, 0)

    def do(self) -> None:
        """Work on it in a process of its own, and write what came of it."""
        kind = kinds()[self.job.kind]
        question = unpacked(bytes(self.job.question))
        if question is None:
            self._end(JobState.FAILED, fault=words.NOT_READABLE)
            return
        try:
            with OwnProcess(kind.module, question) as process:
                ended = self._follow(process, time.monotonic() + kind.patience_s)
                if ended and self.done is None and not self.failed:
                    self._without_answer(process.status)
        except OSError as error:
            self.failed = words.NOT_STARTED.format(why=error.strerror)
        if self.done is not None:
            self._end(JobState.DONE, percent=100, answer=packed(self.done))
        elif self.failed:
            log.warning("%s had no answer: %s", self.job.kind, self.failed)
            self._end(JobState.FAILED, fault=self.failed)

    def _follow(self, process: OwnProcess, latest: float) -> bool:
        """Hear it to its end; return False where it is not to go on, and that is written."""
        looked = time.monotonic()
        while (said := process.heard(PAUSE_SECONDS / 2)) is not None:
            self._take(said)
            if self.done is not None:
                return True
            if stopping.is_set():
                self._hand_back()
                return False
            if time.monotonic() > latest:
                self.failed = words.NO_TIME
                return False
            if time.monotonic() - looked >= PAUSE_SECONDS:
                looked = time.monotonic()
                if not self._goes_on():
                    return False
        return True

    def _take(self, said: dict[str, Any]) -> None:
        if "part" in said:
            self.parts.append(said["part"])
        self.progress = said.get("progress", self.progress)
        self.failed = said.get("failed", self.failed)
        self.done = said.get("done", self.done)

    def _goes_on(self) -> bool:
        """Write how far it is; return whether anybody still wants that it goes on."""
        now = (round(self.progress * 100), len(self.parts))
        if now != self.written:
            self.written = now
            self._own.update(percent=now[0], told=self.parts)
        row = self._own.values_list("stop_asked", flat=True).first()
        if row:
            self._end(JobState.STOPPED, fault=words.STOPPED)
        return row is False

    def _without_answer(self, status: int) -> None:
        if status >= 0:
            self.failed = words.NO_ANSWER
        elif not give_back(self.job, "its process was ended"):
            log.warning("%s was given up.", self.job.kind)

    def _hand_back(self) -> None:
        # No fault of the job's: this attempt is not counted.
        self._own.update(
            state=JobState.WAITING,
            worker="",
            waits_since=Now(),
            attempts=F("attempts") - 1,
        )

    def _end(self, state: JobState, **more: Any) -> None:
        self._own.update(
            state=state, told=self.parts, question=b"", ended_at=Now(), **more
        )

    @property
    def _own(self) -> QuerySet[LongJob]:
        return own(self.job)


def own(job: LongJob) -> QuerySet[LongJob]:
    """Return the job as this attempt knows it: nothing, once somebody else has it."""
    return LongJob.objects.filter(
        id=job.id, state=JobState.RUNNING, worker=job.worker, attempts=job.attempts
    )


def give_back(job: LongJob, why: str) -> bool:
    """Let others begin a job anew whose work was ended; too often, and it is given up.

    Returns
    -------
    bool
        Whether it is tried again.
    """
    log.warning("%s, attempt %d: %s.", job.kind, job.attempts, why)
    if job.attempts < MOST_ATTEMPTS:
        again = {"state": JobState.WAITING, "worker": "", "percent": 0, "told": []}
        own(job).update(waits_since=Now(), **again)
        work_on_next.using(queue_name=kinds()[job.kind].lane).enqueue()
        return True
    fault = words.GIVEN_UP.format(attempts=job.attempts)
    own(job).update(state=JobState.GIVEN_UP, fault=fault, question=b"", ended_at=Now())
    return False
