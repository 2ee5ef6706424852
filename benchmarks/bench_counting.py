"""Count a ward's days from the chart: one year, then two and four times the entries.

One ward of 32 beds, a child in each, something charted every four hours. Read like
this: processor time must grow no faster than the days counted, and the number of
queries not at all.
"""

from __future__ import annotations

import os
import random
import tempfile
import time
from datetime import UTC, date, datetime, timedelta

from sizes import sized

BEDS, YEARS = sized(32, small=2), sized((1, 2, 4), small=(1,))
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
LAST = date(2026, 11, 24)


def fill(years: int) -> int:
    """Write the ward; return the number of entries."""
    from lumenkeep.demo.hospital import KESTREL
    from lumenkeep.ward.chart.models import Child, EntryRow, LinePlace, Ward
    from lumenkeep.ward.chart.store.policies import record_version
    from lumenkeep.ward.outcomes.repository import OutcomeRepository

    start = NOW - timedelta(days=365 * years)
    rng = random.Random(1)
    Ward.objects.create(
        key=KESTREL.key, name=KESTREL.name, zone=str(KESTREL.zone), unit=KESTREL.unit,
        policy_set=KESTREL.policy_set,
    )  # fmt: skip
    hour = datetime(2026, 1, 1, 6, tzinfo=UTC).time()
    OutcomeRepository().set_hour(
        KESTREL.key, date(2020, 1, 1), hour, "other", "made up", "s-1"
    )
    version = record_version(KESTREL.policy_set, start)
    children, lines, rows = [], [], []

    def note(
        child: str, line: str | None, what: str, at: datetime, /, **body: object
    ) -> None:
        rows.append(
            EntryRow(
                child_id=child, line_id=line, kind=what, happened_at=at, written_at=at,
                by="s-1", policy=version, body=body,
            )
        )  # fmt: skip

    for bed in range(BEDS):
        at = start
        while at < NOW:
            child, line = f"c-{len(children)}", f"l-{len(children)}"
            children.append(Child(key=child, display_name="Demo"))
            lines.append(LinePlace(key=line, child_id=child))
            end = min(at + timedelta(days=rng.uniform(3, 18)), NOW)
            note(child, None, "stay", at, ward=KESTREL.key, bed=str(bed))
            note(child, line, "line-inserted", at + timedelta(hours=2), kind="picc")
            seen = at + timedelta(hours=4)
            while seen < end:
                note(child, line, "site-check", seen)
                seen += timedelta(hours=4)
            note(child, line, "line-removed", end)
            note(child, None, "stay", end, ward=None, to="home")
            at = end
    Child.objects.bulk_create(children)
    LinePlace.objects.bulk_create(lines)
    EntryRow.objects.bulk_create(rows, batch_size=900)
    return len(rows)


def measure(years: int) -> None:
    """Print one row of the table."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    from lumenkeep.ward.chart.store.repository import ChartRepository
    from lumenkeep.ward.outcomes.count_days import count_days
    from lumenkeep.ward.outcomes.repository import OutcomeRepository
    from lumenkeep.ward.outcomes.sources import DayRepository

    entries = fill(years)
    wards = ChartRepository().wards()
    first = LAST - timedelta(days=365 * years - 1)
    with CaptureQueriesContext(connection) as asked:
        start = time.process_time()
        found = count_days(
            DayRepository(), OutcomeRepository(), wards, first, LAST, NOW
        )
        spent = time.process_time() - start
    days = sum(day.count is not None for day in found[wards[0].key])
    print(f"{entries:>9,}  {days:>6,}  {spent:>8.2f} s  {len(asked):>7}")


def main() -> None:
    """Print the table; each row in a process of its own, with a database of its own."""
    import subprocess
    import sys

    if len(sys.argv) > 1:
        with tempfile.TemporaryDirectory() as folder:
            os.environ["LUMENKEEP_DATA"] = folder
            from lumenkeep.web.run import migrate

            migrate()
            measure(int(sys.argv[1]))
        return
    print("  entries    days  processor  queries")
    for years in YEARS:
        subprocess.run([sys.executable, __file__, str(years)], check=True)  # noqa: S603


if __name__ == "__main__":
    main()
