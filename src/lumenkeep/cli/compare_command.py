"""``lumenkeep compare``: where two policy sets answer differently."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import click

from lumenkeep.cli.inputs import reporting_faults
from lumenkeep.exchange.case_file import case_from_mapping
from lumenkeep.exchange.comparison import comparison_as_json, outcome_in_words
from lumenkeep.policy import load_policy

if TYPE_CHECKING:
    from lumenkeep.services.compare_policies import Comparison


@click.command()
@click.argument("set_a", metavar="SET_A")
@click.argument("set_b", metavar="SET_B")
@click.option("--json", "as_json", is_flag=True, help="Answer in JSON.")
@reporting_faults
def compare(set_a: str, set_b: str, as_json: bool) -> None:
    """Say for which children SET_A and SET_B answer differently.

    Each set is a shipped one, or a folder. The list is exact, not sampled: the
    solver has checked that it neither overlaps nor leaves a child out.
    """
    from lumenkeep.services.compare_policies import (
        compare_policies,  # brings the solver
    )

    found = compare_policies(
        load_policy(set_a),
        load_policy(set_b),
        datetime.now(UTC).date(),
        lambda case: case_from_mapping(case, "example child"),
    )
    if as_json:
        value = comparison_as_json(found)
        click.echo(json.dumps(value, indent=2, ensure_ascii=False))
    else:
        _say(found)


def _say(found: Comparison) -> None:
    names = (
        f"A {found.one.id} {found.one.version}, B {found.two.id} {found.two.version}"
    )
    if not found.differences:
        click.echo(f"{names}: the same answer for every child.")
        return
    count = len(found.differences)
    fewest = "no fewer can do" if found.is_fewest else "perhaps fewer could do"
    click.echo(
        f"{names}: {count} kinds of children are answered differently ({fewest})."
    )
    for number, difference in enumerate(found.differences, 1):
        who = "; ".join(difference.who) or "every child"
        click.echo(f"\n{number}. {difference.aspect}: {who}")
        for mark, outcome, why in (
            ("A", difference.one, difference.why_one),
            ("B", difference.two, difference.why_two),
        ):
            click.echo(f"   {mark}: {outcome_in_words(outcome)}")
            for rule in why:
                click.echo(f"      {rule.because} [{rule.rule}; {rule.source}]")
        case = json.dumps(difference.case, ensure_ascii=False)
        click.echo(f"   child: {case} at {difference.at}")
    for fault in found.faults:
        click.echo(f"NOT EXACT: {fault}", err=True)
