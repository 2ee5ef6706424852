"""``lumenkeep chart``: the chart as an open file."""

from __future__ import annotations

import json
import sys
from contextlib import contextmanager
from datetime import UTC
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import click

from lumenkeep.cli.case_commands import at_option, json_option, policy_option
from lumenkeep.cli.inputs import fail, read_at, read_policy, reporting_faults
from lumenkeep.cli.web_commands import hand_over
from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import tzinfo
    from typing import BinaryIO


@click.group()
def chart() -> None:
    """Carry the chart in an open file, and read such a file without a database."""


@chart.command()
@policy_option
@json_option
@reporting_faults
def kinds(set_name: str, as_json: bool) -> None:
    """Describe every kind of entry that a chart file may hold."""
    from lumenkeep.cli.chart_wording import kinds_in_words
    from lumenkeep.core.entries.describe import describe_kinds
    from lumenkeep.ward.chart_file.bounds import bounds_of

    bounds = bounds_of(read_policy(set_name))
    found = describe_kinds(bounds.spans, bounds.also)
    if as_json:
        click.echo(json.dumps({"kinds": found}, indent=2, ensure_ascii=False))
    else:
        click.echo("\n".join(kinds_in_words(found)))


@chart.command()
@click.argument("file", metavar="FILE")
@at_option
@policy_option
@click.option(
    "--zone",
    "zone_name",
    default="UTC",
    show_default=True,
    metavar="ZONE",
    help='Whose wall clock counts, as in "America/Chicago".',
)
@click.option("--extra", is_flag=True, help="Name extra supplies in each plan too.")
@json_option
@reporting_faults
def read(
    file: str,
    at_text: str | None,
    set_name: str,
    zone_name: str,
    extra: bool,
    as_json: bool,
) -> None:
    """Say what holds for every line in FILE, a chart file (- reads input).

    Facts, what is due, concerns, lengths and the plan, at any instant, as they could
    be known then. Exit code: 0, or 2 for a faulty file or argument.
    """
    # Only this command pays for the watch.
    from lumenkeep.cli.cache_folder import cache_folder
    from lumenkeep.cli.chart_wording import chart_in_words
    from lumenkeep.core.reading.read_chart import read_chart
    from lumenkeep.files.chart_reading import chart_as_json
    from lumenkeep.files.kept_in_folder import KeptInFolder
    from lumenkeep.ward.chart_file.bounds import bounds_of
    from lumenkeep.ward.chart_file.chart_file import read_chart_file

    at, zone = read_at(at_text).astimezone(UTC), _zone(zone_name)
    policy = read_policy(set_name)
    with _opened(file) as (stream, name):
        entries = read_chart_file(stream, name, bounds_of(policy))
    kept = KeptInFolder(cache_folder() / "spares") if extra else None
    answer = chart_as_json(read_chart(entries, at, policy, zone, kept), at, zone)
    if as_json:
        click.echo(json.dumps(answer, indent=2, ensure_ascii=False))
    else:
        click.echo("\n".join(chart_in_words(answer)))


@chart.command("export")
@click.argument("ward", metavar="[WARD]", required=False)
@click.option("--all", "of_all", is_flag=True, help="The whole chart.")
@click.option("--demo", is_flag=True, help="The chart of the demo wards.")
def export_(ward: str | None, of_all: bool, demo: bool) -> None:
    """Write the entries of WARD, or of the whole chart, to standard output.

    WARD is the ward's key: every child that ever lay there, with all that was charted
    of it. Exit code: 0, or 2 where there is no such ward or chart.
    """
    if (ward is None) != of_all:
        _fail_of_ward()
    words = ["--all"] if of_all else ["--ward", ward or ""]
    hand_over("chart-export", *words, *(["--of-demo"] if demo else []))


def _fail_of_ward() -> None:
    fail(
        [
            Fault(
                "argument-ward-or-all",
                "Name one ward, or say --all.",
                "WARD",
                "write lumenkeep chart export WARD, or lumenkeep chart export --all",
            )
        ]
    )


@chart.command("import")
@click.argument("file", metavar="FILE")
@click.option(
    "--dry-run", is_flag=True, help="Say what would be written; write nothing."
)
@click.option("--demo", is_flag=True, help="Into the chart of the demo wards.")
def import_(file: str, dry_run: bool, demo: bool) -> None:
    """Write the entries in FILE (- reads input) that the chart does not have yet.

    All of them or none; twice is as good as once. Exit code: 0, or 2 for a faulty file.
    """
    words = ["--file", file, *(["--dry-run"] if dry_run else [])]
    hand_over("chart-import", *words, *(["--of-demo"] if demo else []))


def _zone(name: str) -> tzinfo:
    try:
        return ZoneInfo(name)
    except (OSError, ValueError, LookupError):
        fail(
            [
                Fault(
                    "argument-bad-zone",
                    "This time zone is not known.",
                    "--zone",
                    'write its name in the tz database, as in "America/Chicago"',
                )
            ]
        )


@contextmanager
def _opened(path: str) -> Iterator[tuple[BinaryIO, str]]:
    """Open a file, or standard input for ``-``; a fault where it cannot be read."""
    from lumenkeep.ward.chart_file.chart_file import not_read

    name = "standard input" if path == "-" else Path(path).name
    try:
        if path == "-":
            yield sys.stdin.buffer, name
        else:
            with Path(path).open("rb") as stream:
                yield stream, name
    except (OSError, ValueError) as error:
        fail([not_read(error, name)])
