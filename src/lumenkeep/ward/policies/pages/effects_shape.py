"""Proof, comparison and children as rows that a page shows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from django.urls import reverse

from lumenkeep.core.model import words
from lumenkeep.text.moments import moment_in_words, plain_day_and_time
from lumenkeep.ward.policies.pages.words import PROPERTIES

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import tzinfo

    from lumenkeep.core.due import DueTask
    from lumenkeep.ward.long_work.jobs import JobSoFar
    from lumenkeep.ward.policies.children import LineChanged
    from lumenkeep.ward.site.people import WardRecord


@dataclass(frozen=True, slots=True)
class ProofRow:
    """One property: "waiting", "proved" or "broken".

    ``breaches`` say what broke, its mend, and the child on whom it shows.
    """

    title: str
    explains: str
    state: str
    breaches: tuple[dict[str, Any], ...]


def proof_rows(key: str, run: JobSoFar) -> list[ProofRow]:
    """Return the properties in order, with what is known of each so far."""
    decided = {part["name"]: part["proved"] for part in run.parts}
    whole = {one["name"]: one for one in (run.done or {}).get("properties", ())}
    rows = []
    for name, (title, explains) in PROPERTIES.items():
        holds = whole[name]["proved"] if name in whole else decided.get(name)
        state = {None: "waiting", True: "proved", False: "broken"}[holds]
        breaches = tuple(
            {
                **breach,
                "rules": list(dict.fromkeys(rule["rule"] for rule in breach["rules"])),
                "href": reverse("policy-child", args=[key, name, place])
                if breach["case"]
                else "",
            }
            for place, breach in enumerate(whole.get(name, {}).get("breaches", ()))
        )
        rows.append(ProofRow(title, explains, state, breaches))
    return rows


def child_rows(
    changed: Iterable[LineChanged], wards: Sequence[WardRecord], now: datetime
) -> list[tuple[LineChanged, WardRecord, list[str]]]:
    """Return each change, its ward and its tasks in words, in the order of the beds."""
    by_key = {ward.key: ward for ward in wards}
    order = list(by_key)
    return [
        (one, ward, [_task(a, b, now, ward.zone) for a, b in one.tasks])
        for one in sorted(
            changed, key=lambda one: (order.index(one.record.ward), one.record.bed)
        )
        for ward in (by_key[one.record.ward],)
    ]


def _task(
    before: DueTask | None, after: DueTask | None, now: datetime, zone: tzinfo
) -> str:
    label = (after or before).label if after or before else ""  # type: ignore[union-attr]
    return f"{label}: {_due(before, now, zone)} now, {_due(after, now, zone)} then"


def _due(task: DueTask | None, now: datetime, zone: tzinfo) -> str:
    if task is None:
        return "not asked for"
    if task.due_at is None:
        return "no clock runs"
    early = (
        f"not before {moment_in_words(task.not_before, now, zone)}, "
        if task.not_before
        else ""
    )
    return f"{early}due {moment_in_words(task.due_at, now, zone)}"


FACT_WORDS = {
    **words.LINE_KINDS,
    **words.SITES,
    **words.SKIN,
    **words.UNITS,
    **words.SENSITIVITIES,
    **words.FINDINGS,
}


def fact_rows(case: dict[str, Any], zone: tzinfo) -> list[tuple[str, str]]:
    """Return what is known of an invented child and its line, one fact a row."""
    return [
        (key.replace("_", " "), _fact(value, zone))
        for part in ("child", "line")
        for key, value in case.get(part, {}).items()
    ]


def _fact(value: Any, zone: tzinfo) -> str:
    if isinstance(value, list):
        return ", ".join(_fact(one, zone) for one in value) or "none"
    if isinstance(value, dict) and "g" in value:
        return f"{value['g']:g} g, {_fact(value['at'], zone)}"
    if isinstance(value, dict):
        return ", ".join(f"{key}: {_fact(one, zone)}" for key, one in value.items())
    text = str(value)
    if text in FACT_WORDS:
        return FACT_WORDS[text].lower()
    try:
        at = datetime.fromisoformat(text) if "T" in text else None
    except ValueError:
        at = None
    return plain_day_and_time(at, zone) if at else text
