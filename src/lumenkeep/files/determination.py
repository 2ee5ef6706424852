"""Write determinations as JSON values."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from lumenkeep.core.outcomes.derivation import Event
    from lumenkeep.core.outcomes.protocol import Protocol


def determinations_as_json(
    events: Iterable[Event], protocol: Protocol
) -> dict[str, Any]:
    """Return the answer of ``lumenkeep determine --json``."""
    return {"events": [_event(event, protocol) for event in events]}


def to_confirm(event: Event, protocol: Protocol) -> list[str]:
    """Return what of the rules used must be laid beside the edition in force."""
    found = (protocol.rules[rule].to_confirm for rule in event.rules())
    return [text for text in found if text is not None]


def _days(span: tuple[date, date] | None) -> list[str] | None:
    return None if span is None else [span[0].isoformat(), span[1].isoformat()]


def _event(event: Event, protocol: Protocol) -> dict[str, Any]:
    values = {
        "specimens": list(event.specimens),
        "type": event.type,
        "clabsi": event.clabsi,
        "verdict": event.verdict,
        "unknown": [one.named for one in event.unknown if one.settles_clabsi],
        "also_unknown": [one.named for one in event.unknown if not one.settles_clabsi],
        "healthcare_associated": event.is_healthcare_associated,
        "date_of_event": event.event_on.isoformat() if event.event_on else None,
        "infection_window": _days(event.window),
        "repeat_timeframe": _days(event.repeat),
        "added_to": event.added_to,
        "line_day": event.line_day,
        "location": event.location,
        "exclusions": list(event.exclusions),
        "because": [
            {"rule": step.rule, "text": step.words, "evidence": list(step.evidence)}
            for step in event.steps
        ],
        "to_confirm": to_confirm(event, protocol),
        "organism": event.organism,
        "birthweight_stratum": event.stratum,
    }
    return values | dict.fromkeys(_KEYS[field] for field in event.open)


_KEYS = {
    "type": "type",
    "clabsi": "clabsi",
    "is_healthcare_associated": "healthcare_associated",
    "event_on": "date_of_event",
    "window": "infection_window",
    "repeat": "repeat_timeframe",
    "added_to": "added_to",
    "line_day": "line_day",
    "location": "location",
    "exclusions": "exclusions",
    "organism": "organism",
}
"""The keys of what can be open: such a key is null."""
