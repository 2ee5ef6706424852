"""A few of the newest changes went by the guide, some with a slip and its way back."""

from __future__ import annotations

from datetime import timedelta
from random import Random
from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy import load_policy
from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.demo.hospital import POLICY_SET, STAFF

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.demo.chronicle import Chronicle, DraftEntry

HOW_MANY = 9
AGENT = "chlorhexidine-alcohol"
TOOK = timedelta(minutes=34)
CLOCKED = (
    ("PR11", "hand-hygiene", 20), ("PR13", "hand-hygiene", 20),
    ("D9", "hand-hygiene", 20), ("D13", "scrub", 30), ("D14", "wait", 30),
    ("CL3", "hand-hygiene", 20),
)  # fmt: skip
SLIPS = (
    ("glove-touches-unsterile", "D13", "scrub", ("say", "D8b", "D9", "D10", "D13"),
     {"sterile-gloves": 1, "antiseptic-swab": 3}),
    ("item-dropped", "GEL18", "cover", ("say", "open-more"), {"clear-film-gel": 1}),
    ("child-on-prepared-site", "D15", "look-dry",
     ("say", "comfort-child", "open-more", "D13", "D14", "D15"),
     {"antiseptic-swab": 3}),
)  # fmt: skip


def tell_guides(chronicle: Chronicle, seed: str) -> None:
    """Write into some changes how the guide went, by a seed of its own."""
    rng = Random(f"{seed}/guided")  # noqa: S311  invented children need no secrecy
    says = {slip.id: slip.says for slip in bedside_of(load_policy(POLICY_SET)).slips}
    for number, note in enumerate(_newest(chronicle.notes)):
        told = _told(rng, note, number)
        slip = SLIPS[number % len(SLIPS)]
        if number % 2 == 0 and slip[0] in says:
            told |= _slip(note, slip, says)
        note.body["guide"] = told


def _newest(notes: Sequence[DraftEntry]) -> list[DraftEntry]:
    """Return the newest change of each of some lines, where nothing was put right."""
    mended = {id(note.corrects) for note in notes if note.corrects}
    newest: dict[str | None, DraftEntry] = {}
    for note in notes:
        if note.kind == "dressing-change" and note.body.get("agent") == AGENT:
            newest[note.line] = note
    fit = [note for note in newest.values() if id(note) not in mended]
    fit = [note for note in fit if note.corrects is None]
    return sorted(fit, key=lambda n: n.happened_at, reverse=True)[:HOW_MANY]


def _told(rng: Random, note: DraftEntry, number: int) -> dict[str, Any]:
    ward = next((one.ward for one in STAFF if one.key == note.by), None)
    others = [one.key for one in STAFF if one.ward == ward and one.key != note.by]
    assistant = rng.choice(others)
    end = note.happened_at + timedelta(minutes=5)
    told: dict[str, Any] = {
        "run": f"demo-{number}",
        "procedure": "dressing-change",
        "ending": "done",
        "operator": note.by,
        "assistant": assistant,
        "confirmed": sorted([note.by, assistant]),
        "started_at": (end - TOOK).isoformat(),
        "ended_at": end.isoformat(),
        "timed": [
            {"step": step, "verb": verb, "least": least,
             "seconds": least + rng.randint(0, 6)}
            for step, verb, least in CLOCKED
        ],
        "bare_seconds": rng.randint(230, 420),
        "noted": [{"label": "Pain score", "value": str(rng.randint(0, 3))}],
    }  # fmt: skip
    return told


def _slip(
    note: DraftEntry,
    slip: tuple[str, str, str, tuple[str, ...], dict[str, int]],
    says: dict[str, str],
) -> dict[str, Any]:
    name, step, verb, way, spares = slip
    row = {
        "slip": name,
        "says": says[name],
        "step": step,
        "verb": verb,
        "at": (note.happened_at - timedelta(minutes=9)).isoformat(),
        "ended": "way-back",
        "way": list(way),
    }
    return {"slips": [row], "spares": dict(spares)}
