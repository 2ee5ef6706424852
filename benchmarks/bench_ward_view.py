"""The ward view of a large hospital: server time and queries, at 200 and 2,000 lines.

Each size gets a data folder of its own, filled with invented hospitals put side by
side, and a process of its own. Requests go through Django's test client: everything
the server does, without the network and the browser.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from dataclasses import replace
from datetime import UTC, datetime
from statistics import median
from time import perf_counter
from typing import TYPE_CHECKING, Any

from sizes import sized

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from lumenkeep.core.model.entry import Entry

SIZES = sized((200, 2000), small=(1,))
REQUESTS = sized(20, small=1)
BAR_MS = 300
DATA = "LUMENKEEP_DATA"


def shifted(entry: Entry, by: int) -> Entry:
    """Return an entry with its number, and those it names, moved on."""
    body = dict(entry.body)
    if "concern" in body:
        rule, number = str(body["concern"]).split(":")
        body["concern"] = f"{rule}:{int(number) + by}"
    corrects = entry.corrects and entry.corrects + by
    return replace(entry, id=entry.id + by, corrects=corrects, body=body)


def fill(wanted: int) -> int:
    """Fill the empty chart until at least ``wanted`` lines are in place."""
    from lumenkeep.demo.fill import DEMO_PASSWORD, make_accounts
    from lumenkeep.demo.scenario import scenario
    from lumenkeep.ward.chart.store.load import load

    now = datetime.now(UTC)
    children, lines, entries = [], [], []
    standing: set[str] = set()
    number = 0
    while len(standing) < wanted:
        hospital = scenario(now, seed=f"benchmark-{number}")
        number += 1
        children += [(child.key, child.name) for child in hospital.children]
        lines += [(line.key, line.child) for line in hospital.lines]
        first = len(entries)
        entries += [shifted(e, first) for e in hospital.entries]
        gone = {e.line for e in hospital.entries if e.kind == "line-removed"}
        standing |= {line.key for line in hospital.lines} - gone
    found = load(hospital.wards, children, lines, entries, lambda _: None)
    make_accounts(hospital.people, DEMO_PASSWORD)
    return found


def signed_in() -> Client:
    """Return a client signed in as the educator, who sees all wards."""
    from django.contrib.auth.models import User
    from django.test import Client

    client = Client(headers={"host": "localhost"})
    educator = User.objects.filter(staff__role="educator").first()
    assert educator is not None
    client.force_login(educator, backend="django.contrib.auth.backends.ModelBackend")
    return client


def measured(client: Client, path: str, before: Callable[[], None]) -> dict[str, Any]:
    """Return median and slowest milliseconds, queries and size of a page.

    Parameters
    ----------
    before
        Called before each request, outside the time.
    """
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    client.get(path)
    times = []
    for _ in range(REQUESTS):
        before()
        start = perf_counter()
        answer = client.get(path)
        times.append((perf_counter() - start) * 1000)
        assert answer.status_code == 200, (path, answer.status_code)
    with CaptureQueriesContext(connection) as queries:
        size = len(client.get(path).content)
    return {
        "median": median(times),
        "slowest": max(times),
        "queries": len(queries),
        "kb": size / 1000,
    }


def measure(wanted: int) -> dict[str, Any]:
    """Fill the chart of this process's data folder and measure its pages."""
    from lumenkeep.web.run import migrate

    start = perf_counter()
    migrate()
    lines = fill(wanted)
    filling = perf_counter() - start
    from lumenkeep.ward.chart import lines_now as ward_now

    def nothing() -> None:
        pass

    forget = ward_now._tasks.cache_clear  # noqa: SLF001  a minute has passed
    client = signed_in()
    pages = {
        "all wards, first strips": ("/ward/all/", nothing),
        "first strips, new minute": ("/ward/all/", forget),
        "all wards, every strip": ("/ward/all/?shown=all", nothing),
        "every strip, new minute": ("/ward/all/?shown=all", forget),
        "the page asks again": ("/ward/all/strips/?seen=1&minute=0", nothing),
        "one ward, first strips": ("/ward/kestrel/", nothing),
    }
    rows = {name: measured(client, *how) for name, how in pages.items()}
    return {"lines": lines, "filling": filling, "rows": rows}


def in_a_process_of_its_own(wanted: int) -> dict[str, Any]:
    """Measure one size in a temporary data folder."""
    print(f"Filling {wanted} lines ...", file=sys.stderr, flush=True)
    with tempfile.TemporaryDirectory(prefix="lumenkeep-bench-") as folder:
        done = subprocess.run(  # noqa: S603  this very file
            [sys.executable, __file__, str(wanted)],
            env={**os.environ, DATA: folder},
            stdout=subprocess.PIPE,
            text=True,
            check=True,
        )
    return json.loads(done.stdout)


def main() -> None:
    """Print the table of all sizes."""
    found = {size: in_a_process_of_its_own(size) for size in SIZES}
    for result in found.values():
        print(f"{result['lines']} lines in place, filled in {result['filling']:.0f} s")
        print(f"  {'':26}{'median':>9}{'slowest':>10}{'queries':>9}{'page':>10}")
        for name, row in result["rows"].items():
            print(
                f"  {name:26}{row['median']:6.0f} ms{row['slowest']:7.0f} ms"
                f"{row['queries']:9}{row['kb']:7.0f} kB"
            )
    few, many = found[SIZES[0]], found[SIZES[-1]]
    same = all(
        few["rows"][n]["queries"] == r["queries"] for n, r in many["rows"].items()
    )
    above = [n.strip() for n, r in many["rows"].items() if r["median"] >= BAR_MS]
    said = f"MISSED by: {', '.join(above)}" if above else "met by every page"
    print(f"Bar: {BAR_MS} ms at the median with {many['lines']} lines: {said}.")
    print(f"Queries the same at both sizes: {'yes' if same else 'NO'}.")


if __name__ == "__main__":
    if len(sys.argv) > 1:
        print(json.dumps(measure(int(sys.argv[1]))))
    else:
        main()
