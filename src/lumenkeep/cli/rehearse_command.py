"""``lumenkeep rehearse``: walk every branch of a set's procedures."""

from __future__ import annotations

import json
import sys
from collections import Counter
from typing import TYPE_CHECKING, Any

import click

from lumenkeep.cli.inputs import read_at, read_case, reporting_faults
from lumenkeep.planning import plan_change
from lumenkeep.policy import load_policy
from lumenkeep.services.procedure_files import bedside_of
from lumenkeep.services.rehearse import Stage, rehearse
from lumenkeep.services.rehearse_ways import rehearse_ways

if TYPE_CHECKING:
    from lumenkeep.asepsis.check import Break
    from lumenkeep.policy import Policy
    from lumenkeep.services.rehearse import Rehearsal
    from lumenkeep.services.rehearse_ways import WayFault, WaysRehearsed


@click.command("rehearse")
@click.argument("set_name", metavar="SET")
@click.argument("procedure", required=False)
@click.option("--case", "case_path", help="Only the branches of this case's plan.")
@click.option("--at", help="Instant asked about, with its offset; now if left out.")
@click.option(
    "--ways-back",
    "with_ways",
    is_flag=True,
    help="Look for the way back from every slip at every step too; minutes for a set.",
)
@click.option("--json", "as_json", is_flag=True, help="Answer in JSON.")
@click.pass_context
@reporting_faults
def rehearse_command(
    context: click.Context,
    set_name: str,
    procedure: str | None,
    case_path: str | None,
    at: str | None,
    with_ways: bool,
    as_json: bool,
) -> None:
    """Walk the procedures of SET, or one of them, and say each rule of asepsis broken.

    Exit code: 0 sound, 1 a rule is broken, or a slip has neither a way back nor a
    reason why not, 2 a faulty set or case.
    """
    stage = _stage(load_policy(set_name), case_path, at)
    names = [procedure] if procedure else sorted(stage.bedside.procedures)
    said = []
    is_sound = True
    for procedure_ in [stage.procedure(name) for name in names]:
        found = rehearse(procedure_, stage)
        ways = _ways(found, stage) if with_ways else None
        is_sound &= found.is_sound and not any(one.faults for one in ways or ())
        said.append(_as_json(found, ways))
        if not as_json:
            _say(found)
            _say_ways(ways)
    if as_json:
        whole = {
            "policy": {"set": stage.policy.id, "version": stage.policy.version},
            "sound": is_sound,
            "procedures": said,
        }
        click.echo(json.dumps(whole, indent=2, ensure_ascii=False))
    context.exit(0 if is_sound else 1)


def _ways(found: Rehearsal, stage: Stage) -> list[WaysRehearsed]:
    """Return what follows the slips of the sound branches, and show how far it is."""
    sound = [one.branch for one in found.branches if one.walk.is_sound]
    with click.progressbar(
        rehearse_ways(sound, stage),
        length=len(sound),
        label=f"{found.procedure.id}: slips",
        file=sys.stderr,
        hidden=not sys.stderr.isatty(),
    ) as under_way:
        return list(under_way)


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


def _say_ways(ways: list[WaysRehearsed] | None) -> None:
    if ways is None:
        return
    count = _endings(ways)
    click.echo(
        f"  {sum(count.values())} slips at steps: {count['way-back']} ways back that "
        f"keep every rule, {count['stop']} stops, {count['leave']} times leave"
    )
    told: set[WayFault] = set()
    for one in ways:
        for fault in one.faults:
            if fault not in told:
                told.add(fault)
                click.echo(
                    f"  {fault.slip} at {fault.step}: {fault.says}\n"
                    f"    branch: {one.branch.name}"
                )


def _endings(ways: list[WaysRehearsed]) -> Counter[str]:
    count: Counter[str] = Counter()
    for one in ways:
        count.update(dict(one.endings))
    return count


def break_in_words(found: Break, branch: str) -> str:
    """Return a break as text: step, rule, state, what to move, and where it shows."""
    return (
        f"  {found.step} breaks {found.rule}: {found.says}\n"
        f"    state:  {found.state}\n"
        f"    mend:   {found.mend}\n"
        f"    branch: {branch}"
    )


def _as_json(one: Rehearsal, ways: list[WaysRehearsed] | None) -> dict[str, Any]:
    said = _walked_as_json(one)
    if ways is not None:
        said["slips"] = {
            **_endings(ways),
            "faults": [
                {
                    "branch": found.branch.name,
                    "step": fault.step,
                    "slip": fault.slip,
                    "says": fault.says,
                }
                for found in ways
                for fault in found.faults
            ],
        }
    return said


def _walked_as_json(one: Rehearsal) -> dict[str, Any]:
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
