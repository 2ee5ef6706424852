"""How long a command takes from the shell, and what it spends that on.

Each command runs as a process of its own, as a nurse or another program starts it;
an empty Python process stands beside them as what no program can go below.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections import defaultdict
from pathlib import Path
from statistics import median
from time import perf_counter

from sizes import sized

ROOT = Path(__file__).parents[1]
CASE = ROOT / "docs" / "examples" / "demo-27-weeker.json"
AT = "2026-11-24T08:00:00-06:00"
LUMENKEEP = str(Path(sys.executable).with_name("lumenkeep"))
RUNS = sized(15, small=1)
EMPTY = "python -c ''"
COMMANDS = {
    EMPTY: [sys.executable, "-c", ""],
    "lumenkeep --help": [LUMENKEEP, "--help"],
    "lumenkeep plan CASE --json": [LUMENKEEP, "plan", str(CASE), "--at", AT, "--json"],
    "lumenkeep due CASE": [LUMENKEEP, "due", str(CASE), "--at", AT],
    "lumenkeep policy check quillmere": [LUMENKEEP, "policy", "check", "quillmere"],
}
IMPORT_LINE = re.compile(r"import time:\s+(\d+) \|\s+(\d+) \| (\s*)(\S+)")


def run(words: list[str], **more: str) -> subprocess.CompletedProcess[str]:
    """Run a command to its end; it must not fail."""
    environment = {**os.environ, **more}
    done = subprocess.run(  # noqa: S603  our own command
        words, env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return done


def seconds(words: list[str]) -> float:
    """Return how long a command takes once."""
    start = perf_counter()
    run(words)
    return perf_counter() - start


def import_times() -> tuple[dict[str, float], int]:
    """Return milliseconds spent inside each top package's own modules, and their number."""
    told = run(
        [sys.executable, "-X", "importtime", "-c", "import lumenkeep.cli.case_commands"]
    )
    own: dict[str, float] = defaultdict(float)
    count = 0
    for match in IMPORT_LINE.finditer(told.stderr):
        count += 1
        name = match[4]
        parts = name.split(".")
        top = ".".join(parts[:2]) if parts[0] == "lumenkeep" else parts[0]
        own[top] += int(match[1]) / 1000
    return own, count


def main() -> None:
    """Print start times, and the packages that take most of the imports."""
    for words in COMMANDS.values():
        run(words)
    taken: dict[str, list[float]] = {name: [] for name in COMMANDS}
    for _ in range(RUNS):
        for name, words in COMMANDS.items():
            taken[name].append(seconds(words) * 1000)
    print(f"{'':34}{'median':>10}{'fastest':>10}   of {RUNS} runs each, and that")
    print(f"{'':54}   beside the empty process")
    empty = min(taken[EMPTY])
    for name, times in taken.items():
        least = min(times)
        print(f"{name:34}{median(times):7.0f} ms{least:7.0f} ms{least / empty:10.1f}")
    own, count = import_times()
    total = sum(own.values())
    print(f"\nImports of the command: {count} modules, {total:.0f} ms while measured.")
    for name, spent in sorted(own.items(), key=lambda item: -item[1])[:8]:
        print(f"  {name:32}{spent:7.1f} ms{spent / total:7.0%}")


if __name__ == "__main__":
    main()
