"""Say a worked case in hospital days, ask the command, and read its answer in days."""

from __future__ import annotations

import json
from datetime import date, timedelta
from typing import Any

from click.testing import CliRunner

from lumenkeep.cli.main import main

FIRST = date(2025, 3, 10)
BIRTHDAYS = {"5y": 5, "3y": 3}


def day(number: int) -> str:
    """Return hospital day ``number`` as a date; there is no day 0."""
    passed = number - 1 if number > 0 else number
    return (FIRST + timedelta(days=passed)).isoformat()


def number(text: str | None) -> int | None:
    """Return the hospital day of a date."""
    if text is None:
        return None
    passed = (date.fromisoformat(text) - FIRST).days
    return passed + 1 if passed >= 0 else passed


def span(days: list[str] | None) -> tuple[int | None, int | None] | None:
    """Return a span of dates in hospital days."""
    return None if days is None else (number(days[0]), number(days[1]))


def born(years: float) -> str:
    """Return the birth day of a child of this age on hospital day 1."""
    return (FIRST - timedelta(days=round(years * 365.25) + 30)).isoformat()


def stay(location: str, start: int = 1, end: int | None = None, **more: Any) -> dict:
    """Return a stay, from and to hospital days."""
    return {
        "location": location,
        "inpatient": more.get("inpatient", True),
        "from": more.get("at_from") or day(start),
        "to": more.get("at_to") or (None if end is None else day(end)),
    }


def line(
    inserted: int,
    removed: int | None = None,
    *,
    kind: str = "non-tunnelled",
    name: str = "line-1",
    tip: str = "great-vessel",
    access: int | None = None,
    never: bool = False,
) -> dict:
    """Return a line; accessed on the day it was placed unless said otherwise."""
    accessed = None if never else day(access if access is not None else inserted)
    return {
        "id": name,
        "kind": kind,
        "tip": tip,
        "inserted": day(inserted),
        "first_access": accessed,
        "removed": None if removed is None else day(removed),
    }


def blood(name: str, at: int, *organisms: str, draw: str = "a", **more: Any) -> dict:
    """Return a blood specimen."""
    return {
        "id": name,
        "at": day(at),
        "source": more.get("source", "blood"),
        "draw": draw,
        "method": more.get("method", "culture"),
        "organisms": list(organisms),
    }


def fever(at: int, celsius: float) -> dict:
    """Return a temperature."""
    return {"at": day(at), "kind": "temperature", "celsius": celsius}


def count(at: int, per_mm3: float, kind: str = "anc") -> dict:
    """Return a cell count."""
    return {"at": day(at), "kind": kind, "per_mm3": per_mm3}


def infection(kind: str, event: int, window: tuple[int, int], *organisms: str) -> dict:
    """Return an infection elsewhere."""
    return {
        "kind": kind,
        "date_of_event": day(event),
        "window": [day(window[0]), day(window[1])],
        "organisms": list(organisms),
        "blood_is_element": False,
    }


def timeline(age: float = 6, **more: Any) -> dict:
    """Return a timeline of a child on a ward, with what is given."""
    child = {"born": born(age), "birthweight_g": None} | more.pop("child", {})
    return {"protocol": "2025", "child": child, "stays": [stay("ward")]} | more


def ask(value: dict) -> list[dict]:
    """Return the events the command answers."""
    result = CliRunner().invoke(
        main, ["determine", "-", "--json"], input=json.dumps(value)
    )
    assert result.exit_code == 0, result.stderr
    return json.loads(result.stdout)["events"]


def event_of(events: list[dict], name: str) -> dict:
    """Return the event that holds a specimen."""
    [found] = [event for event in events if name in event["specimens"]]
    return found
