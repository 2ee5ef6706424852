"""Long work done in the calling process, for tests that need its answer."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any
from unittest.mock import patch

from lumenkeep.errors import LumenkeepError
from lumenkeep.ward.long_work import work

if TYPE_CHECKING:
    from collections.abc import Iterator


class InThisProcess:
    """Plays the process of one piece of work."""

    status = 0

    def __init__(self, module: str, question: dict[str, Any]) -> None:
        self._said = self._told(module, question)

    def heard(self, _patience_s: float) -> dict[str, Any] | None:
        return next(self._said, None)

    def __enter__(self) -> InThisProcess:
        return self

    def __exit__(self, *_: object) -> None:
        return

    @staticmethod
    def _told(module: str, question: dict[str, Any]) -> Iterator[dict[str, Any]]:
        said: list[dict[str, Any]] = []
        try:
            done = import_module(module).answer(question, said.append)
        except LumenkeepError as error:
            said.append({"failed": str(error)})
        else:
            said.append({"done": done})
        yield from said


def work_off(lane: str) -> int:
    """Do what waits in a lane, here and now; return how many jobs that were."""
    count = 0
    with patch.object(work, "OwnProcess", InThisProcess):
        while (job := work.claimed(lane, "here")) is not None:
            work.Doing(job).do()
            count += 1
    return count
