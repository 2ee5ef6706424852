"""The process of one piece of work: ``python -m lumenkeep.ward.long_work.child MODULE``.

It may take a processor for itself, crash in native code or be killed, and none of that
touches whoever asked. The question comes in as a line of JSON; the answer goes out as
JSON, a line each: what is said on the way, then ``done`` or ``failed``.
"""

from __future__ import annotations

import json
import os
import signal
import sys
from importlib import import_module
from threading import Thread
from typing import Any

from lumenkeep.errors import LumenkeepError

POLITE = 3


def say(value: dict[str, Any]) -> None:
    """Tell whoever asked."""
    sys.stdout.write(json.dumps(value) + "\n")
    sys.stdout.flush()


def end_with_the_asker() -> None:
    """End this process, whatever it is at, when whoever holds its input is gone."""
    # Not through sys.stdin: a thread that waits there is in the way of an ordinary end.
    while os.read(sys.stdin.fileno(), 1):
        pass
    os.kill(os.getpid(), signal.SIGKILL)


def main() -> None:
    """Answer the one question, and let the wards go first."""
    os.nice(POLITE)
    # A key pressed in a terminal is for the worker, which ends this process itself.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    question = json.loads(sys.stdin.readline())
    Thread(target=end_with_the_asker, daemon=True).start()
    try:
        say({"done": import_module(sys.argv[1]).answer(question, say)})
    except LumenkeepError as error:
        say({"failed": str(error)})


if __name__ == "__main__":
    main()
