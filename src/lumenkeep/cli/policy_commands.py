"""``lumenkeep policy``: look after a policy set."""

from __future__ import annotations

import click

from lumenkeep.cli.inputs import reporting_faults
from lumenkeep.policy import load_policy


@click.group()
def policy() -> None:
    """Look after a policy set."""


@policy.command()
@click.argument("set_name", metavar="SET")
@reporting_faults
def check(set_name: str) -> None:
    """Read SET (a shipped one, or a folder) and say every fault of it at once.

    Exit code: 0 sound, 2 faulty.
    """
    found = load_policy(set_name)
    rules = len(found.every_rule())
    click.echo(
        f"{found.id} {found.version}: {rules} rules, {len(found.numbers)} numbers, "
        f"{len(found.sources)} sources. No fault found."
    )
