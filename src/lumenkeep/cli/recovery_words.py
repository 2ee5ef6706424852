"""What to do after one slip at one step, as text and as JSON."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import click

from lumenkeep.core.recovery.steps import alike, find_slip, over_branches, written_as
from lumenkeep.core.rehearsal.rehearse import rehearse

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.asepsis.procedure import Slip
    from lumenkeep.core.recovery.steps import Alike, RecoveryText
    from lumenkeep.core.rehearsal.stage import Stage

ENDINGS = {
    "way-back": "The way back:",
    "stop": "Stop, cover, call:",
    "leave": "Leave asepsis:",
}


def say_recovery(
    stage: Stage, procedure: str | None, slip_id: str, step: str, *, as_json: bool
) -> int:
    """Print what a slip at a step asks for, branches that ask the same together.

    Returns
    -------
    int
        The exit code: 1 where a branch at that step breaks a rule by itself, so that
        no way back from it means anything; else 0.

    Raises
    ------
    PolicyError
        The set has no such procedure, slip or step.
    """
    slip = find_slip(stage.bedside, slip_id, step)
    names = [procedure] if procedure else sorted(stage.bedside.procedures)
    written = [stage.procedure(name) for name in names]
    walked = [
        one
        for each in written
        if written_as(step) & {one.id for one in each.steps}
        for one in rehearse(each, stage).branches
    ]
    sound = [one.branch for one in walked if one.walk.is_sound]
    found = alike(over_branches(sound, stage, slip, step))
    if as_json:
        whole = _as_json(stage, slip, step, found, len(walked) - len(sound))
        click.echo(json.dumps(whole, indent=2, ensure_ascii=False))
    else:
        _say(stage, slip, step, found, len(sound))
        if len(sound) < len(walked):
            click.echo(
                f"{len(walked) - len(sound)} branches break a rule by themselves; no"
                " way back is looked for there."
            )
    return 0 if len(sound) == len(walked) else 1


def _say(
    stage: Stage, slip: Slip, step: str, found: Sequence[Alike], branches: int
) -> None:
    click.echo(f"{slip.says}")
    if not found:
        click.echo(
            f"At {step} it cannot happen, or spoils nothing, in any of {branches}"
            " branches."
        )
    else:
        click.echo(f"In one sentence: {slip.redo}")
    for one in found:
        click.echo(f"\n{one.procedure}, {step}: {_step_says(stage, one, step)}")
        click.echo(f"in {len(one.branches)} of {branches} branches: {one.branches[0]}")
        _say_told(one.found.told)
        if one.found.unfinished is not None:
            click.echo("If the step was not finished:")
            _say_told(one.found.unfinished)
    if slip.keep:
        click.echo(f"\nNot to be left out: {slip.keep}")
    if slip.stop:
        click.echo(f"Stop and call: {slip.stop}")


def _step_says(stage: Stage, one: Alike, step: str) -> str:
    steps = stage.bedside.procedures[one.procedure].steps
    return next(each.says for each in steps if each.id in written_as(step))


def _say_told(told: RecoveryText) -> None:
    click.echo(ENDINGS[told.ending])
    if told.ending != "way-back":
        click.echo(f"  why: {told.because}")
    for number, act in enumerate(told.acts, 1):
        seconds = f" ({act['seconds']} s at least)" if act["seconds"] else ""
        click.echo(f"  {number}. {act['actor']}: {act['says']}{seconds}")
    if told.then is not None:
        click.echo(f"  then go on with {told.then}")
    if told.needs:
        pieces = ", ".join(f"{count} × {label}" for label, count in told.needs)
        click.echo(f"  from the extra supplies: {pieces}")


def _as_json(
    stage: Stage, slip: Slip, step: str, found: Sequence[Alike], broken: int
) -> dict[str, Any]:
    return {
        "policy": {"set": stage.policy.id, "version": stage.policy.version},
        "slip": {
            "id": slip.id,
            "says": slip.says,
            "redo": slip.redo,
            "keep": slip.keep,
            "stop": slip.stop,
            "because": slip.because,
            "source": slip.source,
        },
        "step": step,
        "broken_branches": broken,
        "answers": [
            {
                "procedure": one.procedure,
                "branches": list(one.branches),
                "told": asdict(one.found.told),
                "unfinished": None
                if one.found.unfinished is None
                else asdict(one.found.unfinished),
            }
            for one in found
        ],
    }
