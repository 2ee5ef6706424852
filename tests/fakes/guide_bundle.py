"""A small bundle of the guide, invented, with one of everything a screen can show."""

from __future__ import annotations

from typing import Any

RUN = "11111111-2222-4333-8444-555555555555"
HEARD = "2026-11-25T09:58:00+00:00"


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


def field(name: str, label: str, kind: str, **more: Any) -> dict[str, Any]:
    """One field, as the bundle asks for it."""
    asked = {"field": name, "label": label, "type": kind, "choices": []}
    return asked | {"required": False, "previous": None, "value": None} | more


def way(slip: str, acts: list[str], then: str | None, **needs: int) -> dict[str, Any]:
    """One way back; without a step to go back to it is the stop."""
    ending = "way-back" if then else "stop"
    made = {"slip": slip, "ending": ending, "acts": acts, "then": then, "lacking": {}}
    needed = {name.replace("_", "-"): count for name, count in needs.items()}
    cost = {"bare_s": 20, "pieces": len(needed), "acts": len(acts)} if then else None
    stands = [{"step": "measure", "because": "The number stands."}] if then else []
    return made | {"needs": needed, "cost": cost, "stands": stands, "because": ""}


LENGTH = field(
    "length", "External length", "mm", previous="42 mm on 18 November", low=0, high=600
)
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
SITE = field(
    "site",
    "Condition of the site",
    "choice",
    choices=[
        {"value": "healthy", "label": "Healthy"},
        {"value": "red", "label": "Red"},
    ],
)
LOOK = {
    "asks": "Is the skin dry? What shines is wet.",
    "yes": "Dry",
    "no": "Still shiny",
}
GLOVES = ["say", "gloves-off", "hands", "gloves-on"]
SWAB_BACK = [*GLOVES, "scrub"]


def bundle(run: str = RUN, **more: Any) -> dict[str, Any]:
    """Return the bundle; ``more`` replaces its parts."""
    steps = [
        step("plan", "both", "Read the plan together.", shows="facts"),
        step("measure", "operator", "Measure, and call it out.", charted=[LENGTH]),
        step("peel", "operator", "Peel low and slow.", drawing="peel", bare=True),
        step("inspect", "operator", "Look at the site.", charted=[SITE], bare=True),
        step("gloves", "operator", "Sterile gloves on.", bare=True, checks_facts=True),
        step(
            "scrub",
            "operator",
            "Scrub back and forth.",
            60,
            timer="scrub",
            shows="scrub",
            drawing="back-and-forth",
            bare=True,
            uses={"swab": 3},
        ),
        step(
            "dry",
            "both",
            "Wait. No wiping.",
            30,
            timer="dry",
            look=LOOK,
            bare=True,
            shows="dry",
        ),
        step("cover", "operator", "Film on, pressed from the middle.", bare=True),
        step("label", "assistant", "Label the edge."),
    ]
    acts = {
        "say": step("say", "both", "Say aloud what happened.", verb="say"),
        "gloves-off": step("gloves-off", "operator", "Gloves off."),
        "hands": step("hands", "operator", "Clean the hands.", 20, timer="hands"),
        "gloves-on": step("gloves-on", "operator", "New sterile gloves on."),
        "scrub": step("scrub", "operator", "Scrub back and forth.", 60),
        "cover-and-call": step("cover-and-call", "both", "Cover with sterile gauze."),
        "call": step("call", "assistant", "Call whoever is named."),
    }
    for act in acts.values():
        act["bare"] = None
    stop = ["say", "cover-and-call", "call"]
    made = {
        "format": 1,
        "run": run,
        "made_at": HEARD,
        "zone": "Europe/London",
        "utc_offset_minutes": 0,
        "line": {
            "key": "l-1",
            "name": "PICC, left arm, 2 lumens",
            "child": "Demo Birch",
            "identifiers": [
                {"label": "Name", "says": "Demo Birch"},
                {"label": "Born", "says": "14 March 2024"},
            ],
            "bed": "09",
            "shares_bed": False,
            "ward": "Wren",
            "ward_key": "wren",
        },
        "people": {
            "operator": {"key": "s-1", "name": "Demo Agate"},
            "assistant": {"key": "s-2", "name": "Demo Beryl"},
        },
        "procedure": {
            "id": "dressing-change",
            "title": "Dressing change",
            "resets": ["dressing"],
            "is_urgent": False,
        },
        "facts": [
            {"label": "Age", "says": "1 year", "known": True},
            {"label": "Weight", "says": "Not known", "known": False},
        ],
        "band": {
            "agent": "Chlorhexidine",
            "dressing": "Clear film",
            "allergies": {"says": "Adhesive", "words": ["adhesive"]},
            "last_length": "42 mm on 18 November",
        },
        "do_not_use": [],
        "plan": {
            "sentence": "Two people. Chlorhexidine. Clear film.",
            "antiseptic": "Chlorhexidine",
            "dressing": "Clear film",
            "skin": {
                "agent": "chlorhexidine-alcohol",
                "label": "Chlorhexidine",
                "swabs": 3,
                "seconds_per_swab": 20,
                "scrub_s": 60,
                "dry_s": 30,
                "dry_judgement": "Shiny skin is still wet.",
                "motion_words": "Back and forth.",
                "area_mm": [51.0, 76.0],
                "residue_words": None,
                "helper": None,
                "cautions": ["Ask for sensitivities again."],
            },
            "put_on": {
                "kind": "transparent",
                "label": "Clear film",
                "stays_words": "7 days at most",
            },
            "cautions": ["Ask for sensitivities again."],
            "policy": {"set": "quillmere", "version": "2026.1", "digest": "0"},
            "why_href": "/",
        },
        "caution": "Decision support: local policy and the person at the bedside decide.",
        "facts_mark": "m1",
        "also_open": None,
        "items": {
            "gloves": {"name": "Sterile gloves 6.5"},
            "swab": {"name": "Antiseptic swab"},
        },
        "spares": {"gloves": 1, "swab": 3},
        "lay_out": [
            {"item": "swab", "name": "Antiseptic swab", "count": 3, "spare": False},
            {"item": "gloves", "name": "Sterile gloves 6.5", "count": 1, "spare": True},
        ],
        "steps": steps,
        "acts": acts,
        "slips": {
            "touched": {
                "says": "A sterile glove touches the bed.",
                "number": 1,
                "because": "It carries on.",
                "source": "x",
                "keep": "Hand hygiene.",
            },
            "returned": {
                "says": "A swab goes back to the middle.",
                "number": 13,
                "because": "The edge is dirtier.",
                "source": "x",
                "keep": "",
            },
            "moved": {
                "says": "The line moves out.",
                "number": 28,
                "because": "Nobody knows the tip.",
                "source": "x",
                "keep": "",
            },
        },
        "ways": {
            "scrub": [
                way("touched", GLOVES, "dry", gloves=1),
                way("returned", SWAB_BACK, "dry", gloves=1, swab=3),
                way("moved", stop, None),
            ],
            "cover": [way("touched", GLOVES, "label", gloves=1)],
        },
        "ways_in_ways": {},
        "stop": {"acts": stop},
        "entry": {
            "fields": [
                {**LENGTH, "required": True, "from": "measure"},
                {**SITE, "required": True, "from": "inspect"},
                field("outcome", "Outcome", "text", required=True, **{"from": None}),
            ]
        },
        "practice": None,
    }
    return made | more
