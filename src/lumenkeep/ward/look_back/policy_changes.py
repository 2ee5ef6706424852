"""The section on policy: which version was in force, and what changed when."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from lumenkeep.text.moments import plain_day
from lumenkeep.ward.look_back.parts import Elsewhere, LookFigure, LookSection
from lumenkeep.ward.versions.life import timeline
from lumenkeep.ward.versions.records import IN_FORCE

if TYPE_CHECKING:
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.look_back.request import LookBackRequest
    from lumenkeep.ward.versions.records import StepRecord

NO_SLUG = re.compile(r"[^A-Za-z0-9-]")
"""Cannot stand in the address of what is behind a figure."""


def policy_sections(asked: LookBackRequest) -> tuple[LookSection, ...]:
    """Return what came into force on the ward in the period."""
    steps = [
        step
        for step in timeline(asked.sources.steps, asked.ward.key)
        if asked.start <= _start(step) < asked.end
    ]
    figures = [_step_figure(asked, step) for step in steps]
    charted = _charted_under(asked)
    figures += [_version_figure(asked, name, under) for name, under in charted]
    return (
        LookSection(
            "policy",
            "What changed in policy",
            _sentence(asked, steps),
            tuple(figures),
            unknown=()
            if charted or steps
            else ("No entry of this period says which version it was charted under.",),
        ),
    )


def _start(step: StepRecord) -> datetime:
    return step.starts_at or step.at


def _sentence(asked: LookBackRequest, steps: list[StepRecord]) -> str:
    if not steps:
        return "No other version of the policy came into force on the ward."
    started = [step for step in steps if step.kind == IN_FORCE]
    days = ", ".join(_day(asked, _start(step)) for step in started)
    if not started:
        return "A version of the policy ended on the ward, and none followed it."
    if len(started) == 1:
        return f"One other version of the policy came into force, on {days}."
    return f"{len(started)} versions of the policy came into force, on {days}."


def _day(asked: LookBackRequest, at: datetime) -> str:
    day = asked.ward.day_of(at)
    return plain_day(day)


def _step_figure(asked: LookBackRequest, step: StepRecord) -> LookFigure:
    name = asked.sources.versions.get(step.version, f"version {step.version}")
    what = "came into force" if step.kind == IN_FORCE else "ended"
    return LookFigure(
        f"step-{step.id}",
        f"{name} {what}",
        _day(asked, _start(step)),
        step.note,
        elsewhere=(Elsewhere("policy", str(step.version), name),),
    )


def _charted_under(asked: LookBackRequest) -> list[tuple[str, list[Entry]]]:
    """Return the entries of the ward in the period by the version that ruled them."""
    found: dict[str, list[Entry]] = {}
    for line in asked.lines:
        for entry in line.on_ward(asked.ward.key):
            if entry.line is not None and asked.holds(entry):
                found.setdefault(_version(entry), []).append(entry)
    return sorted(found.items(), key=lambda pair: min(e.id for e in pair[1]))


def _version(entry: Entry) -> str:
    """Return set and version of an entry; the digest behind them is for machines."""
    return " ".join(entry.policy.split()[:2])


def _version_figure(
    asked: LookBackRequest, name: str, entries: list[Entry]
) -> LookFigure:
    first = _day(asked, min(e.happened_at for e in entries))
    last = _day(asked, max(e.happened_at for e in entries))
    return LookFigure(
        f"under-{NO_SLUG.sub('-', name)}",
        f"Entries charted under {name}",
        f"{len(entries):,}",
        f"On {first}." if first == last else f"From {first} to {last}.",
        tuple(e.id for e in entries),
    )
