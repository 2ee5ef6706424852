"""``lumenkeep dressing-life``: how long dressings hold, from a table."""

from __future__ import annotations

import json
import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lumenkeep.cli.case_commands import json_option
from lumenkeep.cli.inputs import fail, reporting_faults

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.watch.dressing_life import GroupLife
    from lumenkeep.ward.outcomes.dressing_life import GroupedLife

GREATEST_TABLE = 100_000_000
CAUTION = (
    "Decision support: the hospital’s own policy and the licensed person at the bedside "
    "decide."
)


@click.command("dressing-life")
@click.argument("table", metavar="TABLE")
@click.option("--by", metavar="COLUMN", help="Group by this column.")
@click.option("--day", type=float, help="Until which day to ask; 7 if left out.")
@json_option
@reporting_faults
def dressing_life_command(
    table: str, by: str | None, day: float | None, as_json: bool
) -> None:
    """Say how many of 100 dressings in TABLE fail before a day.

    TABLE is a CSV file (- reads input), one dressing a row: how many days it was on,
    what ended it (failed, planned, line-out, early, unknown, still-on), perhaps the
    child, and columns to group by. Exit code: 0, or 2 for a faulty table.
    """
    # Only this command pays for the estimates.
    from lumenkeep.files.spells import spells_from_text
    from lumenkeep.ward.outcomes.dressing_life import grouped_life

    name = "standard input" if table == "-" else Path(table).name
    found = grouped_life(spells_from_text(_text(table, name), name, by), day)
    if as_json:
        click.echo(json.dumps(_as_json(found), indent=2, ensure_ascii=False))
        return
    click.echo("\n".join(_in_words(found, by)))


def _text(path: str, name: str) -> str:
    from lumenkeep.files.spells import unreadable

    try:
        raw = sys.stdin.buffer.read() if path == "-" else Path(path).read_bytes()
        text = raw.decode("utf-8-sig")
    except (OSError, ValueError) as error:
        fail([unreadable(getattr(error, "strerror", None) or str(error), name)])
    if len(raw) > GREATEST_TABLE:
        fail([unreadable("it is larger than a table can be", name)])
    return text


def _in_words(found: GroupedLife, by: str | None) -> Iterator[str]:
    from lumenkeep.ward.outcomes.dressing_life_words import (
        basis_words,
        comparison_words,
        doubts,
        life_sentence,
    )

    yield life_sentence(found.whole, "dressings")
    yield basis_words(found.whole)
    if by is not None:
        yield ""
        for group in found.groups:
            what = f"{by} {group.key}" if group.key is not None else f"{by} not known"
            yield f"{what}: {life_sentence(group, 'dressings')}"
        if found.comparison is not None:
            yield f"By {by}: {comparison_words(found.comparison, found.plan.test)}"
    yield ""
    yield from doubts(found.whole, 0, 0)
    yield CAUTION


def _as_json(found: GroupedLife) -> dict[str, Any]:
    comparison = found.comparison
    return {
        "whole": _group(found.whole),
        "groups": [_group(group) for group in found.groups],
        "comparison": None
        if comparison is None
        else {
            "groups": list(comparison.keys),
            "left_out": list(comparison.left_out),
            "test": asdict(comparison.test),
            "ratios": asdict(comparison.model),
        },
        "method": {
            "written_on": found.plan.written_on.isoformat(),
            "test": asdict(found.plan.test),
        },
    }


def _group(life: GroupLife) -> dict[str, Any]:
    perhaps = life.if_all_had_failed
    return {
        "group": life.key,
        "dressings": len(life.spells),
        "children": life.children,
        "ends": {end.value: number for end, number in life.ends.items()},
        "before_day": life.horizon,
        "failed": asdict(life.failed),
        "if_all_had_failed": None if perhaps is None else asdict(perhaps),
        "half_off_by": asdict(life.half_life),
        "watched_to": life.watched_to,
        "undecided": life.undecided,
    }
