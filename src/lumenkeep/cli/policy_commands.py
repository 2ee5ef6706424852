"""``lumenkeep policy``: look after a policy set."""

from __future__ import annotations

import json
from datetime import UTC, datetime

import click

from lumenkeep.cli.inputs import reporting_faults
from lumenkeep.cli.prove_command import proof_of
from lumenkeep.core.policy import load_policy
from lumenkeep.files.case.case_file import case_from_mapping
from lumenkeep.files.suite import suite_as_json
from lumenkeep.text.policy.plain_text import reading_in_words
from lumenkeep.text.policy.policy_reading import read_policy


@click.group()
def policy() -> None:
    """Look after a policy set."""


@policy.command()
@click.argument("set_name", metavar="SET")
@click.pass_context
@reporting_faults
def check(context: click.Context, set_name: str) -> None:
    """Read SET (a shipped one, or a folder), say every fault of it, and prove it.

    Exit code: 0 sound and proved, 1 not proved, 2 faulty.
    """
    found = load_policy(set_name)
    rules = len(found.every_rule())
    click.echo(
        f"{found.id} {found.version}: {rules} rules, {len(found.numbers)} numbers, "
        f"{len(found.sources)} sources. No fault found."
    )
    if not found.abstract and not proof_of(found, aloud=True).holds:
        context.exit(1)


@policy.command()
@click.argument("set_name", metavar="SET")
@click.option("--json", "as_json", is_flag=True, help="Answer in JSON.")
@reporting_faults
def cases(set_name: str, as_json: bool) -> None:
    """Make the fewest children by which SET can be reviewed, with its answers."""
    from lumenkeep.core.proving.review_cases import review_cases

    found = load_policy(set_name)
    suite = review_cases(
        found,
        datetime.now(UTC).date(),
        lambda case: case_from_mapping(case, "review case", bounds=found.bounds),
    )
    if as_json:
        click.echo(json.dumps(suite_as_json(suite), indent=2, ensure_ascii=False))
        return
    fewest = "no fewer can do" if suite.is_fewest else "perhaps fewer could do"
    click.echo(f"{len(suite.cases)} children ({fewest}).")
    for number, one in enumerate(suite.cases, 1):
        case = json.dumps(one.case, ensure_ascii=False)
        click.echo(f"\n{number}. {one.plan.sentence}")
        click.echo(f"   child: {case} at {one.at}")
        click.echo(f"   shows: {'; '.join(one.shows)}")


@policy.command()
@click.argument("set_name", metavar="SET")
@click.option(
    "--day",
    type=click.DateTime(["%Y-%m-%d"]),
    help="Day whose numbers count, as in 2027-03-01; today when left out.",
)
@reporting_faults
def read(set_name: str, day: datetime | None) -> None:
    """Print SET in plain sentences, every rule and number with its source."""
    on = (day or datetime.now(UTC)).date()
    click.echo(reading_in_words(read_policy(load_policy(set_name), on)))
