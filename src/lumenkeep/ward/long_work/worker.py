"""The process that works: a thread for each lane, and a beat that says it is there."""

from __future__ import annotations

import logging
import os
import signal
import sys
from threading import Thread

from django.conf import settings
from django.db import DatabaseError, connections
from django.db.models.functions import Now
from django_tasks import DEFAULT_TASK_BACKEND_ALIAS
from django_tasks_db.management.commands.db_worker import Worker

from lumenkeep.ward.long_work.kinds import lanes
from lumenkeep.ward.long_work.models import WorkerBeat
from lumenkeep.ward.long_work.tidy import tidy
from lumenkeep.ward.long_work.work import stopping

log = logging.getLogger(__name__)

LOOK_SECONDS = 0.5
"""How often a lane looks for work (s)."""
PATIENCE_SECONDS = 10
"""How long an end waits for what is handed back (s)."""


def work(name: str, *, beside: bool) -> None:
    """Work until told to end.

    Parameters
    ----------
    name
        Nobody else's now. What somebody of this name left behind is begun anew at once.
    beside
        Whether it ends as soon as whoever started it closes its input, or is gone.
    """
    for number in (signal.SIGTERM, signal.SIGINT, signal.SIGHUP):
        signal.signal(number, lambda *_: stopping.set())
    if beside:
        Thread(target=_end_with_the_server, daemon=True).start()
    WorkerBeat.objects.filter(name=name).delete()
    tidy()
    beat(name)
    workers = [_lane_worker(name, lane) for lane in lanes()]
    threads = [Thread(target=_run, args=(one,), daemon=True) for one in workers]
    for thread in threads:
        thread.start()
    while not stopping.wait(settings.LONG_WORK_BEAT_SECONDS):
        try:
            beat(name)
            tidy()
        except DatabaseError:
            # Locked for long, or away: whoever misses the beat takes the jobs over.
            log.warning("A worker could not say that it is there.", exc_info=True)
    for worker, thread in zip(workers, threads, strict=True):
        worker.running = False
        thread.join(PATIENCE_SECONDS)
    WorkerBeat.objects.filter(name=name).delete()


def beat(name: str) -> None:
    """Say that a worker is there."""
    WorkerBeat.objects.update_or_create(name=name, defaults={"beat_at": Now()})


def _end_with_the_server() -> None:
    while os.read(sys.stdin.fileno(), 1):
        pass
    stopping.set()


def _lane_worker(name: str, lane: str) -> Worker:
    return Worker(
        queue_names=[lane],
        interval=LOOK_SECONDS,
        batch=False,
        backend_name=DEFAULT_TASK_BACKEND_ALIAS,
        startup_delay=False,
        max_tasks=None,
        worker_id=f"{name}.{lane}",
        excluded_queue_names=[],
    )


def _run(worker: Worker) -> None:
    """Work on a lane; if that fails, the whole process ends, so that another begins."""
    try:
        worker.run()
    except Exception:
        log.exception("A worker cannot go on.")
    finally:
        stopping.set()
        connections.close_all()
