"""``lumenkeep rehearse``: walk every branch of a set's procedures."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import click

from lumenkeep.cli.inputs import read_at, read_case, reporting_faults
from lumenkeep.planning import plan_change
from lumenkeep.policy import load_policy
from lumenkeep.services.procedure_files import bedside_of
from lumenkeep.services.rehearse import Stage, rehearse

if TYPE_CHECKING:
    from lumenkeep.asepsis.check import Break
    from lumenkeep.policy import Policy
    from lumenkeep.services.rehearse import Rehearsal


@click.command("rehearse")
@click.argument("set_name", metavar="SET")
@click.argument("procedure", required=False)
@click.option("--case", "case_path", help="Only the branches of this case's plan.")
@click.option("--at", help="Instant asked about, with its offset; now if left out.")
@click.option("--json", "as_json", is_flag=True, help="Answer in JSON.")
@click.pass_context
@reporting_faults
def rehearse_command(
    context: click.Context,
    set_name: str,
    procedure: str | None,
    case_path: str | None,
    at: str | None,
    as_json: bool,
) -> None:
    """Walk the procedures of SET, or one of them, and say each rule of asepsis broken.

    Exit code: 0 sound, 1 a rule is broken, 2 a faulty set or case.
    """
    stage = _stage(load_policy(set_name), case_path, at)
    names = [procedure] if procedure else sorted(stage.bedside.procedures)
    found = [rehearse(stage.procedure(name), stage) for name in names]
    if as_json:
        said = {
            "policy": {"set": stage.policy.id, "version": stage.policy.version},
            "sound": all(one.is_sound for one in found),
            "procedures": [_as_json(one) for one in found],
        }
        click.echo(json.dumps(said, indent=2, ensure_ascii=False))
    else:
        for one in found:
            _say(one)
    context.exit(0 if all(one.is_sound for one in found) else 1)


def _stage(policy: Policy, case_path: str | None, at: str | None) -> Stage:
    bedside = bedside_of(policy)
    instant = read_at(at)
    if case_path is None:
        return Stage(policy, bedside, instant.date())
    case = read_case(case_path, instant)
    return Stage.for_plan(policy, bedside, case, plan_change(case, instant, policy))


def _say(one: Rehearsal) -> None:
    steps = max((len(b.branch.acts) for b in one.branches), default=0)
    word = "sound" if one.is_sound else "BROKEN"
    click.echo(
        f"{one.procedure.id:<18} {word:<6} {len(one.branches):>4} branches, "
        f"up to {steps} steps"
    )
    told: set[tuple[str, str]] = set()
    for rehearsed in one.branches:
        for found in rehearsed.walk.breaks:
            if (found.step, found.table) not in told:
                told.add((found.step, found.table))
                click.echo(break_in_words(found, rehearsed.branch.name))


def break_in_words(found: Break, branch: str) -> str:
    """Return a break as text: step, rule, state, what to move, and where it shows."""
    return (
        f"  {found.step} breaks {found.rule}: {found.says}\n"
        f"    state:  {found.state}\n"
        f"    mend:   {found.mend}\n"
        f"    branch: {branch}"
    )


def _as_json(one: Rehearsal) -> dict[str, Any]:
    return {
        "procedure": one.procedure.id,
        "title": one.procedure.title,
        "sound": one.is_sound,
        "settings": one.settings,
        "branches": [
            {
                "name": b.branch.name,
                "steps": [act.step.id for act in b.branch.acts],
                "seconds": sum(act.seconds for act in b.branch.acts),
                "breaks": [
                    {
                        "step": found.step,
                        "rule": found.rule,
                        "table": found.table,
                        "says": found.says,
                        "state": found.state,
                        "mend": found.mend,
                    }
                    for found in b.walk.breaks
                ],
            }
            for b in one.branches
        ],
    }
