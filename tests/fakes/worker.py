"""Workers that are tried on a database of their own, and work done without any."""

from __future__ import annotations

import json
import os
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

T = TypeVar("T")
ROOT = Path(__file__).parents[2]
ASKER = """
import json, sys
from dataclasses import asdict
from lumenkeep.web.run import set_up
set_up()
from django.db import connections
from lumenkeep.ward.long_work import jobs
def done(what, kind, key, question):
    if what == "ask":
        return asdict(jobs.ask(kind, key, lambda: question))
    return getattr(jobs, what)(kind, key)
for line in sys.stdin:
    file, asked = json.loads(line)
    connections.close_all()
    connections["default"].settings_dict["NAME"] = file
    print(json.dumps([done(*one) for one in asked]), flush=True)
"""
FILE = "lumenkeep.sqlite3"


def until(holds: Callable[[], T]) -> T:
    """Wait until something holds, and return it."""
    while not (found := holds()):
        time.sleep(0.02)
    return found


def is_there(pid: int) -> bool:
    """Return whether a process works still; one that ended and waits to be seen does not."""
    try:
        return (
            Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
        )
    except OSError:
        return False


class Asker:
    """Plays a web process: it asks for jobs, and is told how far they are."""

    def __init__(self, folder: Path) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-c", ASKER],
            env=environment(folder),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def said(self, file: Path, asked: Sequence[Sequence[Any]]) -> list[Any]:
        """Return what it is told; ``file`` is the database."""
        assert self._process.stdin
        assert self._process.stdout
        self._process.stdin.write(json.dumps([str(file), asked]) + "\n")
        self._process.stdin.flush()
        found: list[Any] = json.loads(self._process.stdout.readline())
        return found

    def end(self) -> None:
        """End it."""
        self._process.communicate()


def environment(folder: Path) -> dict[str, str]:
    """Return the environment of whoever works with the jobs of a data folder."""
    return {
        **os.environ,
        "LUMENKEEP_DATA": str(folder),
        "DJANGO_SETTINGS_MODULE": "tests.fakes.work_settings",
        "PYTHONPATH": str(ROOT),
    }


@dataclass
class Tried:
    """A data folder, the jobs in it, and workers that do them."""

    folder: Path
    asker: Asker

    def said(self, *asked: tuple[str, str, str]) -> list[Any]:
        """Return what a web process is told that asks, tells to stop, or forgets."""
        return self.asker.said(self.folder / FILE, [[*one, {}] for one in asked])

    def ask(self, do: str, *names: str, kind: str = "one") -> list[dict[str, Any]]:
        """Ask for a job of each name, which does as it is told."""
        question = {"do": do, "folder": str(self.folder)}
        asked = [["ask", kind, name, {**question, "name": name}] for name in names]
        return self.asker.said(self.folder / FILE, asked)

    def let_go(self) -> None:
        """Let what waits come to its end."""
        (self.folder / "go").touch()

    def begun(self) -> list[tuple[str, int]]:
        """Return the name and process of each attempt."""
        with suppress(FileNotFoundError):
            lines = (self.folder / "begun").read_text().splitlines()
            split = [line.split("\t") for line in lines]
            return [(name, int(process)) for name, process in split]
        return []

    def rows(self, query: str) -> list[tuple[Any, ...]]:
        """Return what the database holds."""
        chart = sqlite3.connect(self.folder / FILE)
        try:
            return chart.execute(query).fetchall()
        finally:
            chart.close()

    def write(self, statement: str) -> None:
        """Change what the database holds."""
        chart = sqlite3.connect(self.folder / FILE)
        chart.execute(statement)
        chart.commit()
        chart.close()

    def jobs(self, columns: str, state: str = "") -> list[tuple[Any, ...]]:
        """Return columns of the jobs, or of those in a state."""
        where = f"WHERE state = '{state}'" if state else ""
        return self.rows(f"SELECT {columns} FROM work_job {where} ORDER BY id")  # noqa: S608

    @contextmanager
    def worker(self, name: str, missed: str = "") -> Iterator[subprocess.Popen[bytes]]:
        """Run a worker, for whom others are dead after ``missed`` seconds."""
        process = subprocess.Popen(
            [sys.executable, "-m", "lumenkeep.web", "work", "--name", name],
            env={**environment(self.folder), "TRIED_MISSED": missed},
            start_new_session=True,
        )
        try:
            yield process
        finally:
            process.terminate()
            process.wait()
            with suppress(ProcessLookupError):
                os.killpg(process.pid, signal.SIGKILL)


def make_tables(folder: Path) -> None:
    """Make the tables in a folder, to be copied."""
    words = [sys.executable, "-m", "lumenkeep.web", "migrate"]
    subprocess.run(words, env=environment(folder), check=True)
