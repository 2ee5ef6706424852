"""``lumenkeep policy``: look after a policy set."""

from __future__ import annotations

import click

from lumenkeep.cli.inputs import reporting_faults
from lumenkeep.cli.prove_command import proof_of
from lumenkeep.policy import load_policy


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
