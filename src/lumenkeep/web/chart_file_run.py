"""``python -m lumenkeep.web chart-export`` and ``chart-import``: the chart in a file."""

from __future__ import annotations

import os
import sys
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from lumenkeep.errors import Fault, InputError, StoreError
from lumenkeep.ward.site.data_folder import FOLDER_VARIABLE, data_folder
from lumenkeep.web.run import DEMO_FOLDER, DEMO_VARIABLE, migrate, set_up

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from typing import BinaryIO

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart_file.carry import Carried


def choose_folder(*, of_demo: bool) -> None:
    """Settle the data folder: that of the demo wards, or the one there is."""
    if of_demo:
        os.environ[FOLDER_VARIABLE] = str(data_folder() / DEMO_FOLDER)
        os.environ[DEMO_VARIABLE] = "1"


def is_there() -> bool:
    """Return whether the folder holds a chart; to ask makes none."""
    return (data_folder() / "lumenkeep.sqlite3").exists()


def is_current() -> bool:
    """Return whether its tables are of this version; Django must be set up."""
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    executor = MigrationExecutor(connection)
    return not executor.migration_plan(executor.loader.graph.leaf_nodes())


OK, FAULTY = 0, 2


def export_run(ward: str | None, *, of_demo: bool) -> int:
    """Write the entries of a ward, or of all, to standard output; return the exit code."""
    choose_folder(of_demo=of_demo)
    try:
        must_be_readable()
        _write_entries(ward)
    except (InputError, StoreError) as error:
        return told(error)
    return OK


def import_run(path: str, *, dry_run: bool, of_demo: bool) -> int:
    """Write what the chart does not have yet; return the exit code."""
    choose_folder(of_demo=of_demo)
    try:
        if dry_run:
            must_be_readable()
        else:
            migrate()
        found = _imported(path, dry_run=dry_run)
    except (InputError, StoreError) as error:
        return told(error)
    sys.stdout.write("\n".join(_in_words(found, dry_run=dry_run)) + "\n")
    return OK


def told(error: InputError | StoreError) -> int:
    """Say on stderr what is wrong; return the exit code."""
    faults = error.faults if isinstance(error, InputError) else [error.fault]
    sys.stderr.write("".join(f"{fault}\n" for fault in faults))
    return FAULTY


def must_be_readable() -> None:
    """Refuse where there is no chart, or an older one: to read must change neither."""
    if not is_there():
        raise InputError(
            [
                Fault(
                    "chart-not-there",
                    "There is no chart in the data folder yet.",
                    FOLDER_VARIABLE,
                    "name the folder of your chart there, or add --demo after "
                    "`lumenkeep demo` has run once",
                )
            ]
        )
    set_up()
    if not is_current():
        raise InputError(
            [
                Fault(
                    "chart-of-older-version",
                    "The chart was kept by an older version of Lumenkeep.",
                    FOLDER_VARIABLE,
                    "start `lumenkeep serve` once (or `lumenkeep demo`), which brings "
                    "it up to date",
                )
            ]
        )


def _write_entries(ward: str | None) -> None:
    from lumenkeep.ward.chart.models import Ward
    from lumenkeep.ward.chart_file.carry import carried_out
    from lumenkeep.ward.chart_file.chart_file import chart_file_line

    if ward is not None and not Ward.objects.filter(key=ward).exists():
        known = ", ".join(Ward.objects.values_list("key", flat=True))
        raise InputError(
            [
                Fault(
                    "chart-no-such-ward",
                    f"There is no ward '{ward}'.",
                    "WARD",
                    f"name one of: {known}" if known else "set your wards up first",
                )
            ]
        )
    out = sys.stdout.buffer
    for entry in carried_out(ward):
        # Half a letter, as a broken tablet may send it, is written as its escape.
        out.write(f"{chart_file_line(entry)}\n".encode(errors="backslashreplace"))
    out.flush()


def _imported(path: str, *, dry_run: bool) -> Carried:
    from lumenkeep.ward.chart.store.repository import SystemClock
    from lumenkeep.ward.chart_file.carry import carry_in

    name = "standard input" if path == "-" else Path(path).name
    return carry_in(_entries(path, name), name, SystemClock(), dry_run=dry_run)


def _entries(path: str, name: str) -> Sequence[Entry]:
    from lumenkeep.ward.chart_file.carry import bounds_of_chart
    from lumenkeep.ward.chart_file.chart_file import read_chart_file

    with _opened(path, name) as stream:
        return read_chart_file(stream, name, bounds_of_chart())


@contextmanager
def _opened(path: str, name: str) -> Iterator[BinaryIO]:
    try:
        if path == "-":
            yield sys.stdin.buffer
        else:
            with Path(path).open("rb") as stream:
                yield stream
    except (OSError, ValueError) as error:
        from lumenkeep.ward.chart_file.chart_file import not_read

        raise InputError([not_read(error, name)]) from error


def _in_words(found: Carried, *, dry_run: bool) -> Iterator[str]:
    does = "would be written" if dry_run else "written"
    yield (
        f"{_counted(found.written, 'entry', 'entries')} {does}, {found.there} there "
        "already."
    )
    if found.children or found.lines:
        yield (
            f"New: {_counted(found.children, 'child', 'children')}, "
            f"{_counted(found.lines, 'line', 'lines')}. A new child is shown by its "
            "key."
        )


def _counted(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"
