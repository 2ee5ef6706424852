"""Ask a module of ours a question in a process of its own, and hear what it says."""

from __future__ import annotations

import json
import subprocess
import sys
from queue import Empty, SimpleQueue
from threading import Thread
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from types import TracebackType

CHILD = "lumenkeep.ward.long_work.child"


class OwnProcess:
    """A process that works on one question; leaving it ends it.

    Parameters
    ----------
    module
        Has an ``answer``, see `KindOfWork`.
    question
        As JSON holds it.

    Raises
    ------
    OSError
        It could not be started.
    """

    def __init__(self, module: str, question: dict[str, Any]) -> None:
        self._process = subprocess.Popen(  # noqa: S603  our own module
            [sys.executable, "-m", CHILD, module],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        self._said: SimpleQueue[dict[str, Any] | None] = SimpleQueue()
        Thread(target=self._talk, args=(question,), daemon=True).start()

    def heard(self, patience_s: float) -> dict[str, Any] | None:
        """Return what it says next; empty if it is silent for so long, None at its end."""
        try:
            return self._said.get(timeout=patience_s)
        except Empty:
            return {}

    @property
    def status(self) -> int:
        """How it ended, as an exit status; negative, the signal that ended it."""
        return self._process.wait()

    def __enter__(self) -> OwnProcess:
        return self

    def __exit__(
        self,
        _kind: type[BaseException] | None,
        _error: BaseException | None,
        _where: TracebackType | None,
    ) -> None:
        self._process.kill()
        self._process.wait()
        # Closed only now: an end of its input tells it to end.
        if self._process.stdin:
            self._process.stdin.close()

    def _talk(self, question: dict[str, Any]) -> None:
        asking, hearing = self._process.stdin, self._process.stdout
        assert asking  # noqa: S101  piped above
        assert hearing  # noqa: S101  piped above
        try:
            asking.write(json.dumps(question) + "\n")
            asking.flush()
            for line in hearing:
                self._said.put(json.loads(line))
        except (OSError, ValueError):
            # It was killed in the middle of a word: its status says so.
            pass
        finally:
            hearing.close()
            self._said.put(None)
