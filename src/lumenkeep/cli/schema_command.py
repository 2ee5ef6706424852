"""``lumenkeep schema``: describe the files that Lumenkeep reads."""

from __future__ import annotations

import json

import click

from lumenkeep.files.case.schema import case_schema


@click.group()
def schema() -> None:
    """Describe the files that Lumenkeep reads."""


@schema.command()
def case() -> None:
    """Print the JSON Schema of a case."""
    click.echo(json.dumps(case_schema(), indent=2, ensure_ascii=False))
