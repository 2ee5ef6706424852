"""``lumenkeep determine``: which infections belong to a line, and why."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from lumenkeep.cli.case_commands import json_option
from lumenkeep.cli.inputs import GREATEST_FILE, fail, reporting_faults
from lumenkeep.core.outcomes.derivation import OPEN
from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.outcomes.derivation import Event
    from lumenkeep.core.outcomes.protocol import Protocol

STANDS_FOR = (
    "A proposal worked out from the entries given; a person with the right to it "
    "confirms or overrides it."
)


@click.command()
@click.argument("timeline", metavar="TIMELINE")
@json_option
@reporting_faults
def determine(timeline: str, as_json: bool) -> None:
    """Say which bloodstream infections in TIMELINE belong to a line, and why.

    TIMELINE is a JSON file (- reads input). Exit code: 0, or 2 for a faulty timeline.
    """
    # Only this command pays for the engine and its lists.
    from lumenkeep.core.outcomes.determine_by_year import propose_determination
    from lumenkeep.core.outcomes.protocol_year import shipped_years
    from lumenkeep.files.determination import determinations_as_json
    from lumenkeep.files.timeline.timeline_file import timeline_from_text

    name = "standard input" if timeline == "-" else Path(timeline).name
    read = timeline_from_text(_text(timeline, name), name, shipped_years())
    proposal = propose_determination(read)
    if as_json:
        value = determinations_as_json(proposal.events, proposal.protocol)
        click.echo(json.dumps(value, indent=2, ensure_ascii=False))
        return
    click.echo("\n".join(_in_words(proposal.events, proposal.protocol)))


def _text(path: str, name: str) -> str:
    try:
        raw = sys.stdin.buffer.read() if path == "-" else Path(path).read_bytes()
        text = raw.decode("utf-8-sig")
    except (OSError, ValueError) as error:
        fail([_unreadable(getattr(error, "strerror", None) or str(error), name)])
    if len(raw) > GREATEST_FILE:
        fail([_unreadable("it is larger than a timeline can be", name)])
    return text


def _unreadable(reason: str, name: str) -> Fault:
    return Fault(
        "timeline-not-readable",
        f"The timeline cannot be read: {reason}.",
        name,
        "name a JSON file in UTF-8, or - for standard input",
    )


def _in_words(events: tuple[Event, ...], protocol: Protocol) -> Iterator[str]:
    from lumenkeep.files.determination import to_confirm

    if not events:
        yield "No blood specimen grew anything."
    for event in events:
        yield _sentence(event)
        yield from (f"  {step.rule}: {step.words}" for step in event.steps)
        for text in to_confirm(event, protocol):
            yield f"  To be confirmed against the edition in force: {text}"
        yield ""
    yield f"Protocol {protocol.year}. {STANDS_FOR}"


def _sentence(event: Event) -> str:
    ids = " + ".join(event.specimens)
    if event.verdict == OPEN:
        return f"{ids}: {_as_far_as_known(event)}{_until_known(event)}."
    if event.added_to:
        return f"{ids}: no new event; it joins the event of {event.added_to}."
    if event.type == "none":
        return f"{ids}: no laboratory-confirmed bloodstream infection."
    if event.type == "secondary":
        return f"{ids}: secondary to an infection elsewhere."
    verdict = "CLABSI" if event.is_clabsi else "not a CLABSI"
    return f"{ids}: {_kind(event)}, {verdict}, {', '.join(_told(event))}."


def _until_known(event: Event) -> str:
    from lumenkeep.core.outcomes.agree import clauses

    return f"whether it is a CLABSI cannot be said until it is known {clauses(event)}"


def _as_far_as_known(event: Event) -> str:
    if "type" in event.open or not event.is_event:
        return ""
    return f"{event.type}, {', '.join(_told(event))}; "


def _kind(event: Event) -> str:
    return "of open type" if "type" in event.open else event.type


def _told(event: Event) -> Iterator[str]:
    """Yield origin, day and place, each where it can be said."""
    if "is_healthcare_associated" not in event.open:
        origin = "" if event.is_healthcare_associated else "not "
        yield f"{origin}healthcare-associated"
    if "event_on" not in event.open:
        yield f"date of event {event.event_on}"
    if event.location and "location" not in event.open:
        yield f"counted in {event.location}"
