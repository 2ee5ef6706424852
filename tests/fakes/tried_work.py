"""Work that does as its question says, and notes each time that it was begun."""

from __future__ import annotations

import os
import signal
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lumenkeep.errors import Fault, InputError

if TYPE_CHECKING:
    from collections.abc import Callable


def answer(
    question: dict[str, Any], say: Callable[[dict[str, Any]], None]
) -> dict[str, Any]:
    """Do as the question says: answer at once, wait, crash or find a fault."""
    folder = Path(question["folder"])
    with (folder / "begun").open("a") as begun:
        begun.write(f"{question['name']}\t{os.getpid()}\n")
    say({"progress": 0.5})
    say({"part": {"name": "half"}})
    match question["do"]:
        case "wait":
            while not (folder / "go").exists():
                time.sleep(0.02)
        case "crash":
            os.kill(os.getpid(), signal.SIGKILL)
        case "fault":
            raise InputError([Fault("a-code", "Nothing fits.", "here", "mend it")])
        case "break":
            os._exit(7)
    return {"answer": question["name"]}
