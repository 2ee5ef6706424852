"""``lumenkeep compare``: where two policy sets answer differently."""

from __future__ import annotations

import json
import sys
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import click

from lumenkeep.cli.inputs import reporting_faults
from lumenkeep.core.comparing.kinds import about as about_kind
from lumenkeep.core.comparing.kinds import compared_kinds
from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.bounds import at_any_age
from lumenkeep.files.case.case_file import case_from_mapping
from lumenkeep.files.comparison import (
    ASPECTS,
    comparison_as_json,
    reason_in_words,
    said_in_words,
    statements_in_words,
    who_in_words,
)
from lumenkeep.text.policy.restated import weaker_in_words
from lumenkeep.text.policy.words import capital

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.core.comparing.compare_policies import PolicyComparison


@click.command()
@click.argument("set_a", metavar="SET_A")
@click.argument("set_b", metavar="SET_B")
@click.option("--json", "as_json", is_flag=True, help="Answer in JSON.")
@reporting_faults
def compare(set_a: str, set_b: str, as_json: bool) -> None:
    """Say where SET_A and SET_B differ, for which children, and what was compared.

    Each set is a shipped one, or a folder. The list of children is exact, not sampled:
    the solver has checked that it leaves no child out, and takes none in who is answered
    alike. Every statement is laid side by side, and what was not compared is named.
    """
    from lumenkeep.core.comparing.compare_policies import compare_policies

    one, other = load_policy(set_a), load_policy(set_b)
    bounds = at_any_age(one.bounds, other.bounds)
    found = compare_policies(
        one,
        other,
        datetime.now(UTC).date(),
        lambda case: case_from_mapping(case, "example child", bounds=bounds),
        _tell if sys.stderr.isatty() else lambda _: None,
    )
    if as_json:
        value = comparison_as_json(found)
        click.echo(json.dumps(value, indent=2, ensure_ascii=False))
    else:
        _say(found)


def _tell(what: str) -> None:
    """Say what is worked on, to whoever waits."""
    click.echo(f"comparing {what} ...", err=True)


def _say(found: PolicyComparison) -> None:
    for mark, policy in (("A", found.one), ("B", found.two)):
        for sentence in weaker_in_words(policy):
            click.echo(f"{mark}: {sentence}")
    click.echo(
        f"A {found.one.id} {found.one.version}, B {found.two.id} {found.two.version}, "
        f"from {found.day} on."
    )
    if not found.differs:
        click.echo("No difference was found in what was compared.")
    _say_children(found)
    _say_statements(found)
    click.echo("\nCompared over all children of whom everything is known:")
    _say_list(found.over_children)
    click.echo("Compared statement by statement:")
    _say_list(about_kind(kind) for kind in compared_kinds())
    click.echo("Not compared:")
    _say_list(found.not_compared)
    for fault in found.faults:
        click.echo(f"NOT EXACT: {fault}", err=True)


def _say_children(found: PolicyComparison) -> None:
    count = len(found.differences)
    if count:
        fewest = "no fewer can do" if found.is_fewest else "perhaps fewer could do"
        kinds = "kind of children is" if count == 1 else "kinds of children are"
        click.echo(f"{count} {kinds} answered differently ({fewest}).")
    for number, difference in enumerate(found.differences, 1):
        about = ASPECTS[difference.aspect]
        click.echo(f"\n{number}. {about}: {who_in_words(difference)}")
        for mark, said, why, policy in (
            ("A", difference.one, difference.why_one, found.one),
            ("B", difference.two, difference.why_two, found.two),
        ):
            click.echo(f"   {mark}: {said_in_words(difference, said, policy)}")
            for rule in why:
                says = reason_in_words(rule)
                click.echo(f"      {says} [{rule.rule}; {rule.source}]")
        case = json.dumps(difference.case, ensure_ascii=False)
        click.echo(f"   child: {case} at {difference.at}")


def _say_statements(found: PolicyComparison) -> None:
    changes = statements_in_words(found)
    if changes:
        count = len(changes)
        made = "statement is" if count == 1 else "statements are"
        click.echo(f"\n{count} {made} not made alike.")
    about = ""
    for one in changes:
        if one.about != about:
            about = one.about
            click.echo(f"\n{capital(about)}")
        ids = ", ".join((one.id, *one.also))
        word = {"lost": " (only A)", "added": " (only B)"}.get(one.change, "")
        click.echo(f"  {ids}{word}")
        for line in (one.sentence, *one.says) if one.sentence else one.says:
            click.echo(f"    {line}")
        places = [
            f"{mark} {where}"
            for mark, where in (("A", one.where_one), ("B", one.where_two))
            if where
        ]
        if places:
            click.echo(f"    in {', '.join(places)}")


def _say_list(lines: Iterable[str]) -> None:
    for line in lines:
        click.echo(f"  {line}")
