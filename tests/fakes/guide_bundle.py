"""A small bundle of the guide, invented, with one of everything a screen can show.

It lies in `guide_bundle.json`, as it travels: the tests of the guide's JavaScript read the
same.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

TEXT = Path(__file__).with_suffix(".json").read_text("utf-8")
RUN = "11111111-2222-4333-8444-555555555555"


def step(
    key: str, actor: str, says: str, seconds: int | None = None, **more: Any
) -> dict[str, Any]:
    """One step; what its halves show follows from who acts."""
    halves = {
        role: {"do": says if actor in (role, "both") else None, "then": None}
        | {"watch": None if actor in (role, "both") else f"{role} watches the field."}
        for role in ("operator", "assistant")
    }
    made = {"id": key, "actor": actor, "verb": "do", "says": says, "seconds": seconds}
    made |= halves | {"timer": None, "look": None, "charted": [], "uses": {}}
    made |= {"drawing": None, "because": "It is so.", "source": "an invented page"}
    made |= {"shows": None, "opens_line": False}
    return made | {"bare": False, "field_open": False, "checks_facts": False} | more


CARD = {
    "low": 0,
    "high": 600,
    "last": 11,
    "far": 45,
    "words": {
        "impossible": "{mm} mm cannot lie outside the skin: {low} to {high} mm can.",
        "unlikely": "{last} mm last time. {mm}?",
        "suggest": "Do you mean {suggest} mm?",
        "measure-again": "{change} mm {way}: more than error usually makes. {again}",
        "moved": "Moved {change} mm {way}. Do not use the line until the tip is checked.",
    },
    "arms": {
        "": {
            "from": 11,
            "again": "Let another person measure again.",
            "segments": [
                {"upto": 3, "state": "moved"},
                {"upto": 6, "state": "measure-again"},
                {"upto": 16, "state": "fine"},
                {"upto": 20, "state": "measure-again"},
                {"upto": 600, "state": "moved"},
            ],
        }
    },
}


def bundle(run: str = RUN, **more: Any) -> dict[str, Any]:
    """Return the bundle; ``more`` replaces its parts."""
    return json.loads(TEXT) | {"run": run} | more
