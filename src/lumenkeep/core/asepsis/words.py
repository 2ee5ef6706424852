"""The closed lists of words that a procedure file may use."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

ACTORS = ("operator", "assistant", "both", "near", "child")
PEOPLE: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "operator": ("operator",),
        "assistant": ("assistant",),
        "both": ("operator", "assistant"),
        "near": ("operator", "assistant", "near"),
        "child": (),
    }
)
"""Who does a step: the people, one by one."""

VERBS: Mapping[str, str] = MappingProxyType(
    {
        "read": "read and compare",
        "agree": "agree aloud",
        "ask": "ask, explain",
        "comfort": "comfort the child",
        "position": "position the child",
        "prepare-room": "make the room quiet",
        "gather": "lay out and count",
        "pause": "pause an infusion",
        "resume": "start an infusion again",
        "clean-surface": "clean a surface",
        "hand-hygiene": "clean the hands",
        "mask": "put a mask on",
        "unmask": "take the mask off",
        "set-mask": "set somebody's mask from behind",
        "open-field": "lay the sterile field",
        "open": "open packs on to the field",
        "don": "put gloves on",
        "doff": "take gloves off",
        "hold": "hold the line",
        "guard": "guard field and site",
        "inspect": "look and say",
        "measure": "measure and call out",
        "loosen": "loosen the edges",
        "peel": "peel the old dressing off",
        "discard": "throw away",
        "lay-drape": "lay a drape",
        "wash": "wash soil off",
        "mop": "take up what pools",
        "scrub": "scrub with the antiseptic",
        "wait": "wait",
        "look-dry": "look whether it is dry",
        "wipe": "wipe off what is left",
        "guard-edges": "put barrier film on the edges",
        "place-disc": "lay a disc round the line",
        "take-off-disc": "take a disc off",
        "loop": "lay the line in a loop",
        "unfasten": "take the old securement off",
        "fasten": "put a securement on",
        "cover": "cover the site",
        "uncover": "take the new cover off again",
        "cover-for-now": "cover in an emergency",
        "press-edges": "press the edges down",
        "label": "label",
        "clamp": "close the clamp",
        "unclamp": "open the clamp",
        "spike": "spike a bag or syringe",
        "prime": "fill with fluid",
        "hang": "hang it and thread the pump",
        "open-lumen": "open a lumen",
        "connect": "connect",
        "flush": "draw back, flush and lock",
        "draw-back": "draw air back",
        "numb": "put numbing cream on",
        "needle-out": "take the port needle out",
        "needle-in": "put a port needle in",
        "cut-stitches": "cut the stitches",
        "pull": "draw the line out",
        "press": "press on the site",
        "seal": "seal the tract",
        "trace": "trace by hand",
        "check-rates": "check drug, rate and lumen",
        "watch": "stay and watch",
        "clear-away": "clear the field away",
        "chart": "chart",
        "tell": "tell the person named",
        "say": "say it aloud",
        "feel": "feel about the site",
    }
)
CLOCKED = ("scrub", "wait", "hand-hygiene", "press", "watch")
"""Verbs that are not done before their seconds have passed."""

OBJECTS = (
    "plan",
    "roles",
    "family",
    "child",
    "room",
    "surface",
    "hands",
    "mask",
    "outer-pack",
    "field",
    "gloves",
    "clean-gloves",
    "sterile-gloves",
    "old-dressing",
    "old-securement",
    "dressing",
    "skin",
    "site",
    "edges",
    "line",
    "tails",
    "stitches",
    "drape",
    "disc",
    "length",
    "hub",
    "tip",
    "connector",
    "set",
    "pump",
    "clamp",
    "lumen",
    "needle",
    "port",
    "tract",
    "cream",
    "rates",
    "bin",
    "entry",
    "label",
)
UNSTERILE = frozenset(
    {
        "child",
        "surface",
        "mask",
        "outer-pack",
        "old-dressing",
        "old-securement",
        "skin",
        "line",
        "tails",
        "stitches",
        "hub",
        "pump",
        "bin",
        "room",
        "clamp",
        "set",
    }
)
"""What no sterile glove may touch; the line and a hub only until they are scrubbed."""
SOILING = UNSTERILE - {"outer-pack", "clamp", "hub", "set"}
"""What leaves a bare hand in need of hand hygiene."""

MANNERS = (
    "from-edge",
    "over-field",
    "margin",
    "below-waist",
    "turning-away",
    "leaving",
    "talking",
    "blotting",
    "fanning",
    "blowing",
    "back-and-forth",
    "outward",
    "returning",
    "low-and-slow",
    "outward-pull",
    "scissors",
    "through-gauze",
    "bare-touch",
    "torn-pack",
    "damp-pack",
    "out-of-date",
    "from-inside",
    "splashing",
    "standing-close",
    "out-breath",
    "in-breath",
    "used-before",
    "broken-skin",
    "through-wipe",
)

SETTING_FACTS = (
    "agent",
    "motion",
    "residue",
    "dressing",
    "site",
    "unit",
    "findings",
    "soil",
    "securement",
    "technique",
    "procedure",
    "masks",
    "holds",
    "worn",
    "lumens",
)
"""What the conditions of a step may speak of: the change plan, and the set's way.

``masks`` is whether a child of this age is masked, ``holds`` what holds line and
dressing on this child's skin, ``worn`` the dressing that comes off.
"""
ENDINGS = ("way-back", "leave", "stop")
COUNTED = ("lumens",)
"""Facts of the setting whose word is a number of times."""
PLACES = ("field", "hand", "either")
NUMBING = "numbing-cream"
LEAST: Mapping[tuple[str, str], str] = MappingProxyType(
    {
        ("wait", "cream"): NUMBING,
        ("press", "tract"): "removal-press",
        ("watch", "child"): "removal-flat",
        ("watch", "pump"): "set-settles",
        ("guard-edges", "edges"): "barrier-film-dry",
    }
)
"""Numbers that are the least time of a verb for an object, whatever a step says."""
SWAB = "antiseptic-swab"
NOTHING_USED = "nothing"
PLAN_SECONDS = ("plan.scrub", "plan.dry", "plan.hub-scrub")
PLAN_SWABS = "plan.swabs"
