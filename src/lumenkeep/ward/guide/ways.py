"""Ways back that were worked out, kept in the data folder, and those under way.

The folder is only a cache: thrown away, it is filled again. What is under way is known
to this process alone.
"""

from __future__ import annotations

import hashlib
import json
import logging
import os
import zlib
from contextlib import suppress
from dataclasses import asdict, dataclass
from threading import Lock, Semaphore, Thread
from typing import TYPE_CHECKING, Any

from lumenkeep import __version__
from lumenkeep.core.policy.archive import set_texts
from lumenkeep.core.rehearsal.procedure_files import procedures_digest
from lumenkeep.ward.chart.models import PolicyVersion
from lumenkeep.ward.guide.records import WaysSoFar
from lumenkeep.ward.site.data_folder import data_folder
from lumenkeep.ward.site.own_process import own_process

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from lumenkeep.core.policy import Policy
    from lumenkeep.core.recovery.ways import BranchKey

    Ask = Callable[[dict[str, Any]], Iterator[dict[str, Any]]]

FOLDER = "ways-back"
MORE = "ways_in_ways"
TOO_LATE = "The ways back could not be worked out in time."
log = logging.getLogger(__name__)
PATIENCE_SECONDS = 240
FORMAT = 5


@dataclass
class _Work:
    """Ways back under way; ``done`` may still lack those of second slips."""

    progress: float = 0.0
    done: dict[str, Any] | None = None
    failed: str = ""


_under_way: dict[str, _Work] = {}
_lock = Lock()
# What a guide waits for never waits for what it can begin without.
_one_at_a_time = Semaphore(1)
_one_second_at_a_time = Semaphore(1)


class KeptWays:
    """The port of ways back: from the data folder, else from a process of its own."""

    def of(self, set_name: str, policy: Policy, question: BranchKey) -> WaysSoFar:
        """Return what there is, and begin to work it out where nothing is yet.

        What failed is told once; asked again, it is begun again. Second slips that
        failed are not tried again before the server starts anew.
        """
        key = key_of(policy, question)
        # Found once: a thread keeps what it found where it was asked for.
        path = path_of(key)
        kept = _read(path)
        if kept is not None and MORE in kept:
            with _lock:
                _under_way.pop(key, None)
            return WaysSoFar(1.0, kept)
        with _lock:
            work = _under_way.get(key)
            if work is None:
                work = _under_way[key] = _Work(done=kept)
                asked = _asked(set_name, policy, question)
                Thread(target=_do, args=(work, path, asked, ask), daemon=True).start()
                return WaysSoFar(1.0 if kept else 0.0, kept)
            if work.failed and work.done is None:
                del _under_way[key]
        # Without second slips a guide is whole: a second slip means stop.
        failed = "" if work.done is not None else work.failed
        return WaysSoFar(1.0 if work.done else work.progress, work.done, failed)


def key_of(policy: Policy, question: BranchKey) -> str:
    """Return the name under which a branch's ways back are kept."""
    parts = [
        FORMAT,
        __version__,
        procedures_digest(policy),
        policy.digest,
        asdict(question),
    ]
    return hashlib.sha256(json.dumps(parts, sort_keys=True).encode()).hexdigest()


def keep(path: Path, found: dict[str, Any]) -> None:
    """Keep ways back; another process that reads meanwhile sees all of it or none."""
    path.parent.mkdir(parents=True, exist_ok=True)
    whole = path.with_suffix(f".{os.getpid()}")
    whole.write_bytes(zlib.compress(json.dumps(found).encode()))
    whole.replace(path)


def path_of(key: str) -> Path:
    """Return the file in which ways back of this name are kept."""
    return data_folder() / FOLDER / f"{key}.json.z"


def _read(path: Path) -> dict[str, Any] | None:
    # A file that cannot be read is worked out anew.
    with suppress(OSError, ValueError, zlib.error):
        found = json.loads(zlib.decompress(path.read_bytes()))
        return found if isinstance(found, dict) else None
    return None


def _asked(set_name: str, policy: Policy, question: BranchKey) -> dict[str, Any]:
    row = PolicyVersion.objects.filter(digest=policy.digest).first()
    layers = (
        row.files
        if row is not None and row.files
        else [
            {"name": layer.name, "files": dict(layer.files)}
            for layer in set_texts(set_name)
        ]
    )
    return {"set": set_name, "policy": layers, "question": asdict(question)}


def _do(work: _Work, path: Path, question: dict[str, Any], ask: Ask) -> None:
    try:
        if work.done is None:
            with _one_at_a_time:
                _first(work, path, ask({**question, "second": False}))
        if work.done is not None:
            with _one_second_at_a_time:
                _second(work, path, ask({**question, "second": True}))
    except OSError as error:
        work.failed = f"The ways back could not be worked out: {error.strerror}."
    if MORE not in (work.done or {}):
        work.failed = work.failed or TOO_LATE
        log.warning("Ways back were not all worked out: %s", work.failed)


def _first(work: _Work, path: Path, answers: Iterator[dict[str, Any]]) -> None:
    for said in answers:
        work.progress = said.get("progress", work.progress)
        work.failed = said.get("failed", work.failed)
        if "done" in said:
            keep(path, said["done"])
            work.done = said["done"]


def _second(work: _Work, path: Path, answers: Iterator[dict[str, Any]]) -> None:
    # Ways of equal cost may be chosen otherwise in another process, so what names acts
    # comes from one.
    whole: dict[str, Any] = {}
    for said in answers:
        whole |= said.get("done", {}) | said.get("more", {})
    if MORE in whole:
        keep(path, whole)
        work.done = whole


def ask(question: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Yield what the process that works ways back out says."""
    module = "lumenkeep.ward.guide.work"
    with own_process(module, question, PATIENCE_SECONDS) as (_, answers):
        yield from answers
