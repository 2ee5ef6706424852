"""Ask a module of ours a question in a process of its own.

What takes a processor for seconds never runs in the server that the wards look at.
"""

from __future__ import annotations

import json
import subprocess
import sys
from contextlib import contextmanager
from threading import Timer
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator


@contextmanager
def own_process(
    module: str, question: dict[str, Any], patience_s: float
) -> Iterator[tuple[subprocess.Popen[str], Iterator[dict[str, Any]]]]:
    """Start a module, hand it a question as JSON, and give what it says.

    Parameters
    ----------
    module
        Run as ``python -m``; it reads standard input and writes JSON, a line each.
    patience_s
        After so long it is killed (s).

    Yields
    ------
    process, answers
        The process, whose exit status is known afterwards, and its answers as they
        come.

    Raises
    ------
    OSError
        It could not be started.
    """
    process = subprocess.Popen(  # noqa: S603  our own module
        [sys.executable, "-m", module],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    with process:
        last = Timer(patience_s, process.kill)
        last.start()
        assert process.stdin  # noqa: S101  piped above
        assert process.stdout  # noqa: S101  piped above
        process.stdin.write(json.dumps(question))
        process.stdin.close()
        yield process, map(json.loads, process.stdout)
        last.cancel()
