"""``lumenkeep plan`` and ``lumenkeep due``: answers for one case."""

from __future__ import annotations

import json
from datetime import UTC

import click

from lumenkeep.cli.cache_folder import cache_folder
from lumenkeep.cli.inputs import read_at, read_case, read_policy, reporting_faults
from lumenkeep.cli.wording import plan_in_words, tasks_in_words
from lumenkeep.core.due import due_tasks
from lumenkeep.core.policy import DEFAULT_SET
from lumenkeep.core.reading.line_reading import holds_of_case
from lumenkeep.core.reading.plan_case import plan_case
from lumenkeep.files.answer import plan_as_json, tasks_as_json
from lumenkeep.files.kept_in_folder import KeptInFolder

EXIT = {"plan": 0, "ask": 3, "stop": 4}

policy_option = click.option(
    "--policy",
    "set_name",
    default=DEFAULT_SET,
    show_default=True,
    metavar="SET",
    help="A shipped set, or the folder of your own.",
)
at_option = click.option(
    "--at",
    "at_text",
    metavar="INSTANT",
    help="The instant asked about, with its offset; the present if left out.",
)
extra_option = click.option(
    "--extra",
    is_flag=True,
    help="Show every spare, and what each further one covers.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Answer in JSON.")


@click.command()
@click.argument("case", metavar="CASE")
@policy_option
@at_option
@extra_option
@json_option
@click.pass_context
@reporting_faults
def plan(
    context: click.Context,
    case: str,
    set_name: str,
    at_text: str | None,
    extra: bool,
    as_json: bool,
) -> None:
    """Plan one dressing change for the child in CASE (JSON or TOML; - reads input).

    Exit code: 0 a plan, 3 something must be asked first, 4 stop and call, 2 a
    faulty file or argument.
    """
    at = read_at(at_text)
    chosen = read_policy(set_name)
    read = read_case(case, at, chosen.bounds)
    at = at.astimezone(UTC)
    answer = plan_case(read, at, chosen, KeptInFolder(cache_folder() / "spares"))
    if as_json:
        value = plan_as_json(
            answer.plan, answer.tasks, read.zone, answer.spares, answer.holds
        )
        click.echo(json.dumps(value, indent=2, ensure_ascii=False))
    else:
        said = plan_in_words(
            answer.plan, answer.tasks, read.zone, answer.spares, extra=extra
        )
        click.echo("\n".join([*(hold.sentence for hold in answer.holds), said]))
    context.exit(EXIT[answer.plan.verdict])


@click.command()
@click.argument("case", metavar="CASE")
@policy_option
@at_option
@json_option
@reporting_faults
def due(case: str, set_name: str, at_text: str | None, as_json: bool) -> None:
    """Say what is due on the line in CASE, and when the rest will be.

    Exit code: 0, or 2 for a faulty file or argument.
    """
    at = read_at(at_text)
    chosen = read_policy(set_name)
    read = read_case(case, at, chosen.bounds)
    at = at.astimezone(UTC)
    tasks = due_tasks(read, at, chosen)
    holds = holds_of_case(read, at, chosen)
    if as_json:
        version = (chosen.id, chosen.version)
        value = tasks_as_json(tasks, at, read.zone, version, holds)
        click.echo(json.dumps(value, indent=2, ensure_ascii=False))
    else:
        said = tasks_in_words(tasks, read.zone)
        click.echo("\n".join([*(hold.sentence for hold in holds), said]))
