"""What a guide would tell at the end, made from its bundle."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

VALUES = {
    "because": "planned",
    "findings": ["damp"],
    "chart-site": "healthy",
    "chart-external-length": 21,
    "chart-stitches": 0,
    "chart-tolerance": "calm",
    "chart-outcome": "sealed",
    "chart-arm": "away from the body",
    "skin": "intact",
    "noted-pain-score": "1",
}
STEP_SECONDS = 5.0


def account_of(bundle: dict[str, Any], **other: Any) -> dict[str, Any]:
    """Return the account of a run in which every step was done as it should be."""
    at = datetime.fromisoformat(bundle["made_at"])
    start = at
    steps = []
    for step in bundle["steps"]:
        seconds = float(step["seconds"] or STEP_SECONDS)
        looked = [{"at": at.isoformat(), "answer": "yes"}] if step["look"] else []
        steps.append(
            {
                "id": step["id"],
                "began_at": at.isoformat(),
                "seconds": seconds,
                "early": None,
                "looked": looked,
            }
        )
        at += timedelta(seconds=seconds)
    people = [one for one in bundle["people"].values() if one]
    said = {
        "format": 1,
        "run": bundle["run"],
        "tablet": "t-1",
        "started_at": start.isoformat(),
        "ended_at": at.isoformat(),
        "ending": "done",
        "operator": bundle["people"]["operator"]["key"],
        "assistant": (bundle["people"]["assistant"] or {}).get("key"),
        "confirmed": [{"person": p["key"], "at": at.isoformat()} for p in people],
        "acknowledged_mark": None,
        "values": VALUES,
        "steps": steps,
        "slips": [],
        "pauses": [],
        "clock_jumps": [],
        "bare_seconds": 240,
        "remarks": "",
    }
    return {**said, **other}


def row(account: dict[str, Any], step: str) -> dict[str, Any]:
    """Return what an account tells of one step."""
    return next(one for one in account["steps"] if one["id"] == step)
