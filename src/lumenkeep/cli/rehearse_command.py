"""``lumenkeep rehearse``: walk every branch of a set's procedures."""

from __future__ import annotations

import json
import re
import sys
from collections import Counter
from typing import TYPE_CHECKING, Any

import click

from lumenkeep.cli.inputs import read_at, read_case, reporting_faults
from lumenkeep.cli.recovery_words import say_recovery
from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import load_policy
from lumenkeep.core.rehearsal.procedure_files import bedside_of, not_kept
from lumenkeep.core.rehearsal.rehearse import days_to_come, rehearse_on, stage_on
from lumenkeep.core.rehearsal.rehearse_slips import rehearse_ways
from lumenkeep.core.rehearsal.stage import Stage
from lumenkeep.text.policy.restated import rehearsed_in_words

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from lumenkeep.core.asepsis.check import Break
    from lumenkeep.core.asepsis.kept import ProcedureNotKept
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.rehearsal.rehearse import Rehearsal, Walked
    from lumenkeep.core.rehearsal.rehearse_slips import WayFault, WaysRehearsed


INSTANT = re.compile(r"\d{4}-")
"""What an instant begins with, and no id of a step."""


@click.command("rehearse")
@click.argument("set_name", metavar="SET")
@click.argument("procedure", required=False)
@click.option("--case", "case_path", help="Only the branches of this case's plan.")
@click.option(
    "--at",
    "at",
    multiple=True,
    help="Instant asked about, with its offset; now if left out. With --slip: the id"
    " of the step at which it happened; give the option twice for both.",
)
@click.option(
    "--slip",
    "slip_id",
    help="Say only what to do after this slip at the step that --at names.",
)
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
    at: tuple[str, ...],
    slip_id: str | None,
    with_ways: bool,
    as_json: bool,
) -> None:
    """Walk the procedures of SET, or one of them, and say each rule of asepsis broken.

    On the day, and on every day to come on which a number of the set changes; with a
    case only on its day.

    First what the set says openly: what it loosens, and steps in another order than
    published; then what it neither keeps of what is published nor names.

    Exit code: 0 sound, 1 a rule is broken, something published is not kept, or a slip
    has neither a way back nor a reason why not, 2 a faulty set or case.
    """
    instant, step = _instant_and_step(at, slip_id)
    stage = _stage(load_policy(set_name), case_path, instant)
    if slip_id is not None:
        context.exit(say_recovery(stage, procedure, slip_id, step, as_json=as_json))
    names = [procedure] if procedure else []
    walked: Walked = {}
    said = []
    openly = rehearsed_in_words(stage.policy)
    lost = _lost(stage, procedure)
    if not as_json:
        _say_first(openly, lost)
    is_sound = not lost
    for found in rehearse_on(stage, names, walked):
        ways = _ways(found, stage) if with_ways else None
        is_sound &= found.is_sound and not any(one.faults for one in ways or ())
        said.append(_as_json(found, ways))
        if not as_json:
            _say(found)
            _say_ways(ways)
    later = [] if case_path else _later(stage, names, walked)
    is_sound &= all(found.is_sound for _, walks in later for found in walks)
    if as_json:
        whole = {
            "policy": {"set": stage.policy.id, "version": stage.policy.version},
            "said_openly": list(openly),
            "sound": is_sound,
            "not_kept": [
                {"id": one.id, "says": one.says, "where": one.places, "mend": one.mend}
                for one in lost
            ],
            "procedures": said,
            "later": [
                {"from": day.isoformat(), "procedures": [_as_json(w, None) for w in ws]}
                for day, ws in later
            ],
        }
        click.echo(json.dumps(whole, indent=2, ensure_ascii=False))
    else:
        _say_later(later)
    context.exit(0 if is_sound else 1)


def _lost(stage: Stage, procedure: str | None) -> list[ProcedureNotKept]:
    """Return what the set does not keep of a procedure, or of any, nor names."""
    if procedure is not None:
        stage.procedure(procedure)  # a fault where there is none of that name
    return [
        one
        for one in not_kept(stage.policy, stage.day)
        if procedure is None or one.procedure in (procedure, None)
    ]


def _say_first(openly: Sequence[str], lost: Sequence[ProcedureNotKept]) -> None:
    for sentence in openly:
        click.echo(sentence)
    for one in lost:
        click.echo(f"NOT KEPT {one.id}: {one.says}")
        for place in one.places:
            click.echo(f"    where: {place}")
        click.echo(f"    mend:  {one.mend}")


def _instant_and_step(at: tuple[str, ...], slip: str | None) -> tuple[str | None, str]:
    """Return the instant and the step that ``--at`` gave; what begins a date is none."""
    instants = [one for one in at if slip is None or INSTANT.match(one)]
    steps = [one for one in at if one not in instants]
    if len(instants) > 1 or len(steps) > 1:
        raise click.UsageError("--at names one instant, and with --slip one step.")
    if slip is not None and not steps:
        raise click.UsageError("--slip wants the step as well: add --at and its id.")
    return next(iter(instants), None), next(iter(steps), "")


def _later(
    stage: Stage, names: Sequence[str], walked: Walked
) -> list[tuple[date, list[Rehearsal]]]:
    """Return the procedures as they are done on each day to come that changes any."""
    found = []
    for day in days_to_come(stage.policy, stage.day)[1:]:
        known = len(walked)
        walks = list(rehearse_on(stage_on(stage.policy, day), names, walked))
        if len(walked) > known:
            found.append((day, walks))
    return found


def _say_later(later: list[tuple[date, list[Rehearsal]]]) -> None:
    for day, walks in later:
        click.echo(f"From {day}, when a number of the set changes:")
        for found in walks:
            _say(found)


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
    instant = read_at(at)
    if case_path is None:
        return stage_on(policy, instant.date())
    bedside = bedside_of(policy, instant.date())
    case = read_case(case_path, instant, policy.bounds)
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
