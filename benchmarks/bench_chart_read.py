"""A chart file of many lines in place, read and answered as the command does.

Each line has a month of looks, a change a week with its length, and what hangs on it;
every tenth has something to be concerned about. Seconds are of one core at work; those
on the clock are of the command itself, from start to the last byte.
"""

from __future__ import annotations

import io
import json
import subprocess
import sys
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from time import perf_counter, process_time
from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy import load_policy
from lumenkeep.core.reading.read_chart import read_chart
from lumenkeep.files.chart_reading import chart_as_json
from lumenkeep.ward.chart_file.bounds import bounds_of
from lumenkeep.ward.chart_file.chart_file import read_chart_file
from sizes import sized

if TYPE_CHECKING:
    from collections.abc import Iterator

SIZES = sized((250, 500, 1000), small=(10,))
DAYS = 30
AT = datetime(2026, 11, 30, 8, tzinfo=UTC)
START = AT - timedelta(days=DAYS)


def rows(lines: int) -> Iterator[dict[str, Any]]:
    """Yield the entries of so many lines, always the same."""
    chance = Random(20261130)
    number = 0
    for place in range(lines):
        child, line = f"c-{place}", f"l-{place}"
        length = chance.randrange(10, 120)
        for kind, of_line, at, body in _of_line(chance, length, place):
            number += 1
            yield {
                "id": number,
                "child": child,
                "line": line if of_line else None,
                "kind": kind,
                "happened_at": at.isoformat(),
                "by": "s-1",
                "corrects": None,
                "body": body,
            }


def _of_line(
    chance: Random, length: int, place: int
) -> Iterator[tuple[str, bool, datetime, dict[str, Any]]]:
    born = START - timedelta(days=chance.randrange(1, 2000))
    yield "birth", False, born, {"born": born.isoformat(), "gestation": "38w0d"}
    yield "sensitivities", False, START, {"known": []}
    inserted = {
        "kind": "picc",
        "site": "upper-arm",
        "external_length_mm": length,
        "dressing": "transparent",
        "lumens": 1,
    }
    yield "line-inserted", True, START, inserted
    for day in range(1, DAYS):
        at = START + timedelta(days=day)
        signs = ["red"] if place % 10 == 0 and day == DAYS - 1 else []
        yield "site-check", True, at, {"signs": signs}
        yield "line-review", True, at, {"needed": True}
        if day % 7 == 0:
            yield "weight", False, at, {"g": 3000 + 40 * day}
            yield "dressing-change", True, at, _change(chance, length)
        if day % 4 == 0:
            yield "set-change", True, at, {"doing": "changed", "kind": "plain"}


def _change(chance: Random, length: int) -> dict[str, Any]:
    return {
        "because": "planned",
        "agent": "chlorhexidine-alcohol",
        "dressing": "transparent",
        "site": "healthy",
        "skin": "intact",
        "arm": "at the side",
        "external_length_mm": length + chance.randrange(-2, 3),
    }


def on_the_clock(raw: bytes) -> float:
    """Return how long the command itself takes (seconds)."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "chart.jsonl"
        file.write_bytes(raw)
        words = ["chart", "read", str(file), "--at", AT.isoformat(), "--json"]
        start = perf_counter()
        subprocess.run(  # noqa: S603  our own command
            [sys.executable, "-m", "lumenkeep.cli.main", *words],
            check=True,
            stdout=subprocess.DEVNULL,
        )
        return perf_counter() - start


def main() -> None:
    """Print one row for each size."""
    policy = load_policy("quillmere")
    print(
        f"{'lines':>6} {'entries':>8} {'MB':>6} {'read s':>7} {'answer s':>9} "
        f"{'ms/line':>8} {'command s':>10}"
    )
    for lines in SIZES:
        raw = "".join(f"{json.dumps(row)}\n" for row in rows(lines)).encode()
        start = process_time()
        entries = read_chart_file(io.BytesIO(raw), "chart", bounds_of(policy))
        read = process_time() - start
        start = process_time()
        chart_as_json(read_chart(entries, AT, policy, UTC), AT, UTC)
        answered = process_time() - start
        print(
            f"{lines:>6,} {len(entries):>8,} {len(raw) / 1e6:>6.1f} {read:>7.2f} "
            f"{answered:>9.2f} {answered / lines * 1000:>8.2f} "
            f"{on_the_clock(raw):>10.2f}"
        )


if __name__ == "__main__":
    main()
