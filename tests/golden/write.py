"""Write everything the product answers to a folder: ``python -m tests.golden.write FOLDER``.

The same state of the source writes the same bytes, on any day, under any time zone and
any order of sets; so two states are compared with ``diff -r``.
"""

from __future__ import annotations

import argparse
import os
import signal
import subprocess
import sys
import tempfile
from contextlib import suppress
from pathlib import Path

NOW = "2026-11-25T18:00:00+00:00"
"""Noon in the demo hospital's zone, on a Wednesday in winter."""
HERE = Path(__file__).parent
ROOT = HERE.parents[1]
PARTS = ("quick", "pages", "guides", "commands", "proofs")
"""The first is held by a test; the others are written by hand, minutes each."""


def main() -> int:
    """Start the writer in processes whose clock stands still."""
    given = _arguments()
    target = given.folder.resolve()
    if target.exists() and any(target.iterdir()):
        sys.stderr.write(f"{target} is not empty: name a new folder.\n")
        return 2
    target.mkdir(parents=True, exist_ok=True)
    for part in PARTS if given.part == "all" else (given.part,):
        if code := write_part(target, part):
            return code
    if given.record:
        from tests.golden.record import keep_record

        keep_record(target)
    return 0


def write_part(target: Path, part: str) -> int:
    """Write a part in a process of its own, on a demo hospital of its own; end what it began.

    Returns
    -------
    int
        The process's exit status.
    """
    with tempfile.TemporaryDirectory(prefix="golden-") as kept:
        process = subprocess.Popen(
            [sys.executable, "-m", "tests.golden.inside", str(target / part), part],
            cwd=ROOT,
            env=environment(Path(kept)),
            start_new_session=True,
        )
        try:
            return process.wait()
        finally:
            # A page may have begun long work in processes of its own.
            with suppress(ProcessLookupError):
                os.killpg(process.pid, signal.SIGKILL)


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="python -m tests.golden.write", description=__doc__
    )
    parser.add_argument("folder", type=Path, help="a new folder")
    parser.add_argument("--part", choices=(*PARTS, "all"), default="all")
    parser.add_argument(
        "--record", action="store_true", help="keep the outcome as tests/golden/record"
    )
    return parser.parse_args()


def environment(kept: Path) -> dict[str, str]:
    """Return the environment in which one instant is the present, with data of its own."""
    path = [str(HERE / "at_start"), str(ROOT)]
    own = {
        name: value
        for name, value in os.environ.items()
        if not name.startswith("LUMENKEEP_")
    }
    (kept / "demo").mkdir(exist_ok=True)
    return {
        **own,
        "PYTHONPATH": os.pathsep.join(path),
        "GOLDEN_NOW": NOW,
        "LUMENKEEP_DATA": str(kept),
        "LUMENKEEP_DEMO": "1",
        "XDG_CACHE_HOME": str(kept / "cache"),
        "COLUMNS": "88",
        "NO_COLOR": "1",
        "PYTHONUTF8": "1",
    }


if __name__ == "__main__":
    sys.exit(main())
