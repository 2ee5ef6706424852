"""``lumenkeep stats``: any statistic of the outcomes, to check a number by hand."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import click

from lumenkeep.cli.case_commands import json_option
from lumenkeep.cli.inputs import reporting_faults

if TYPE_CHECKING:
    from collections.abc import Iterator


@click.command()
@click.argument("name", metavar="NAME")
@click.argument("arguments", metavar="KEY=VALUE", nargs=-1)
@json_option
@reporting_faults
def stats(name: str, arguments: tuple[str, ...], as_json: bool) -> None:
    """Work out the statistic NAME from its KEY=VALUE arguments.

    For example: stats poisson events=3 line_days=1500. A name or key that is not known
    lists those that are. Exit code: 0, or 2 for faulty arguments.
    """
    # Only this command pays for the statistics.
    from lumenkeep.cli.stats.work_out import work_out_statistic

    worked = work_out_statistic(name, arguments)
    if as_json:
        value = {"statistic": worked.name, "sentence": worked.sentence, **worked.values}
        click.echo(json.dumps(value, indent=2, ensure_ascii=False))
        return
    click.echo(worked.sentence)
    for line in _lines(worked.values, "  "):
        click.echo(line)


def _lines(values: dict[str, Any], indent: str) -> Iterator[str]:
    for key, value in values.items():
        yield from _line(key, value, indent)


def _line(key: str, value: object, indent: str) -> Iterator[str]:
    if isinstance(value, dict):
        yield f"{indent}{key}"
        yield from _lines(value, indent + "  ")
    elif isinstance(value, list | tuple):
        is_flat = not any(isinstance(item, dict) for item in value)
        if is_flat:
            yield f"{indent}{key}: " + ", ".join(map(_shown, value))
        else:
            for number, item in enumerate(value, 1):
                yield from _line(f"{key} {number}", item, indent)
    else:
        yield f"{indent}{key}: {_shown(value)}"


def _shown(value: object) -> str:
    if value is None:
        return "-"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:.6g}" if isinstance(value, float) else str(value)
