"""Keep a worker beside a server: started with it, started again if it dies, ended with it."""

from __future__ import annotations

import logging
import os
import secrets
import signal
import subprocess
import sys
import time
from contextlib import suppress
from threading import Event, Lock, Thread

PAUSE_SECONDS, LONGEST_PAUSE_SECONDS = 1.0, 60.0
"""Before another is begun in place of one that died (s); twice as long each time that
it lives no longer than the longest pause."""
PATIENCE_SECONDS = 4
"""How long an end waits for a worker to hand back what it has (s)."""
NAME_BYTES = 8
log = logging.getLogger(__name__)


def new_name() -> str:
    """Return a worker's name that nobody has."""
    return secrets.token_hex(NAME_BYTES)


class Supervisor:
    """One worker, and another in its place whenever it dies."""

    def __init__(self) -> None:
        self._name = ""
        self._ended = Event()
        self._lock = Lock()
        self._process: subprocess.Popen[bytes] | None = None
        self._keeping = Thread(target=self._keep, daemon=True)

    def start(self) -> None:
        """Begin, and return at once."""
        # A new one in each server process: what one before left may be ending still.
        self._name = new_name()
        self._keeping.start()

    def stop(self) -> None:
        """End the worker and whatever it has started; return when none is left."""
        with self._lock:
            self._ended.set()
            process = self._process
        if process is not None and process.stdin:
            # It hands back what it has; if this process is killed, the same happens.
            process.stdin.close()
            with suppress(subprocess.TimeoutExpired):
                process.wait(PATIENCE_SECONDS)
            _end_group(process)
        self._keeping.join(PATIENCE_SECONDS)

    def _keep(self) -> None:
        pause = PAUSE_SECONDS
        while not self._ended.is_set():
            began = time.monotonic()
            try:
                self._see_one_through()
            except OSError:
                log.exception("A worker could not be started.")
            if time.monotonic() - began > LONGEST_PAUSE_SECONDS:
                pause = PAUSE_SECONDS
            self._ended.wait(pause)
            pause = min(2 * pause, LONGEST_PAUSE_SECONDS)

    def _see_one_through(self) -> None:
        words = ["-m", "lumenkeep.web", "work", "--name", self._name, "--beside"]
        with self._lock:
            if self._ended.is_set():
                return
            self._process = process = subprocess.Popen(  # noqa: S603  our own module
                [sys.executable, *words], stdin=subprocess.PIPE, start_new_session=True
            )
        process.wait()
        # Its name may be taken again only when nothing of it works any more.
        _end_group(process)
        if process.stdin:
            process.stdin.close()


def _end_group(process: subprocess.Popen[bytes]) -> None:
    with suppress(ProcessLookupError, PermissionError):
        os.killpg(process.pid, signal.SIGKILL)
