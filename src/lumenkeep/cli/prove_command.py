"""``lumenkeep prove``: prove a policy set over every child."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import click

from lumenkeep.cli.inputs import read_policy, reporting_faults
from lumenkeep.files.case.case_file import case_from_mapping
from lumenkeep.text.policy.child import child_in_words
from lumenkeep.text.policy.restated import restated_in_words

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.solver import Breach, Part
    from lumenkeep.core.proving.prove_policy import Proof

MOST_PLACES = 6
"""How many places a breach names before the rest are only counted."""


def say_part(part: Part) -> None:
    """Print one property as soon as it is decided, with the breaches under it."""
    from lumenkeep.core.policy.solver import PROPERTIES

    word = "proved" if part.holds else "NOT PROVED"
    click.echo(
        f"{part.name:<11} {word:<10} {part.claims:>5} claims {part.seconds:6.2f} s: "
        f"{PROPERTIES[part.name]}"
    )
    for breach in part.breaches:
        click.echo(breach_in_words(breach))


def breach_in_words(breach: Breach) -> str:
    """Return a breach as text: what, where, mend, and the child that shows it."""
    since = f"From {breach.since}: " if breach.since else ""
    lines = [f"  {since}{breach.says}"]
    named = breach.rules[:MOST_PLACES]
    lines += [f"    where: {where} ({rule})" for rule, where in named]
    if len(breach.rules) > MOST_PLACES:
        lines.append(f"           and {len(breach.rules) - MOST_PLACES} more")
    lines.append(f"    mend:  {breach.mend}")
    if breach.shown_by is not None:
        shown = breach.shown_by
        said = child_in_words(shown.case, shown.at, shown.later)
        lines.append(f"    child: {said}")
        lines.append(f"    case:  {json.dumps(shown.case, ensure_ascii=False)}")
        then = f", then --at {shown.later}" if shown.later else ""
        lines.append(f"    see:   lumenkeep plan CASE --at {shown.at}{then}")
    return "\n".join(lines)


def proof_of(policy: Policy, *, aloud: bool, day: date | None = None) -> Proof:
    """Return the proof of a set from a day on, telling each property if ``aloud``.

    Without a day it is today's.
    """
    from lumenkeep.core.proving.prove_policy import prove_policy

    return prove_policy(
        policy,
        day or datetime.now(UTC).date(),
        lambda case: case_from_mapping(case, "boundary case", bounds=policy.bounds),
        say_part if aloud else None,
    )


@click.command()
@click.argument("set_name", metavar="SET")
@click.option(
    "--day",
    type=click.DateTime(["%Y-%m-%d"]),
    help="First day whose numbers count, as in 2027-03-01; today when left out.",
)
@click.option("--json", "as_json", is_flag=True, help="Answer in JSON.")
@click.pass_context
@reporting_faults
def prove(
    context: click.Context, set_name: str, day: datetime | None, as_json: bool
) -> None:
    """Prove SET (a shipped one, or a folder) over every child and line.

    First what is proved, then what is not, and what is believed of the world.
    Exit code: 0 proved, 1 not proved, 2 a faulty set.
    """
    # These bring the solver, which no other command waits for.
    from lumenkeep.files.proof import proof_as_json
    from lumenkeep.text.policy.said_of_proof import said_of

    policy = read_policy(set_name, "SET")
    if not as_json:
        for sentence in restated_in_words(policy, datetime.now(UTC).date()):
            click.echo(sentence)
    proof = proof_of(policy, aloud=not as_json, day=day.date() if day else None)
    said = said_of(policy, proof.day)
    if as_json:
        whole = proof_as_json(proof, said)
        click.echo(json.dumps(whole, indent=2, ensure_ascii=False))
    else:
        _say_list("Not proved:", said.not_proved)
        _say_list("Believed of the world:", said.believed)
    context.exit(0 if proof.holds else 1)


def _say_list(head: str, sentences: Sequence[str]) -> None:
    click.echo(head)
    for sentence in sentences:
        click.echo(f"- {sentence}")
