"""Who and what is sterile at one moment of a procedure.

A `State` is one flat value: two pairs of hands, the masks, the field, the site, the
line and its openings, and for every item how many are sealed, opened, used or spoiled.
Every fact is a word of a closed list, so that states can be compared and searched.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple, cast

if TYPE_CHECKING:
    from collections.abc import Mapping


Owed = tuple[tuple[object, ...], ...]
"""Duties of slips, each list in its order (`duties.py`)."""


class Lot(NamedTuple):
    """How many of one item are where (counts).

    ``sealed`` lie in the room, ``ready`` on the field, ``used`` and ``spoiled`` do
    not come back.
    """

    sealed: int = 0
    ready: int = 0
    used: int = 0
    spoiled: int = 0


class State(NamedTuple):
    """The state between two steps; every field but the last two is a word of `STATE_WORDS`.

    ``owes`` is what slips still ask for; a walk leaves it as it is.
    """

    operator_hands: str = "soiled"
    operator_gloves: str = "none"
    operator_size: str = "own"
    operator_mask: str = "off"
    assistant_hands: str = "soiled"
    assistant_gloves: str = "none"
    assistant_size: str = "own"
    assistant_mask: str = "off"
    near_mask: str = "off"
    child: str = "calm"
    posture: str = "any"
    surface: str = "unclean"
    field: str = "none"
    drape: str = "none"
    site: str = "covered"
    soil: str = "no"
    residue: str = "no"
    edges: str = "none"
    disc: str = "none"
    securement: str = "on"
    holder: str = "nobody"
    length: str = "unknown"
    line: str = "placed"
    blood: str = "no"
    clamp: str = "off"
    hub: str = "closed"
    lumen: str = "running"
    needle: str = "in"
    stitches: str = "in"
    tract: str = "none"
    agreement: str = "given"
    cream: str = "none"
    part: str = "primed"
    pool: str = "none"
    pump: str = "stopped"
    rates: str = "checked"
    pressing: str = "nobody"
    route: str = "traced"
    said: str = "yes"
    owes: Owed = ()
    items: tuple[Lot, ...] = ()


Skin = tuple[str, str, str, str, str]
"""Site, soil, residue, edges and blood, each in the words of `STATE_WORDS`."""
_GLOVES = ("none", "clean", "sterile", "spoiled")
_MASK = ("off", "on", "slipped")
STATE_WORDS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "operator_hands": ("soiled", "clean"),
        "operator_gloves": _GLOVES,
        "operator_size": ("own", "other"),
        "operator_mask": _MASK,
        "assistant_hands": ("soiled", "clean"),
        "assistant_gloves": _GLOVES,
        "assistant_size": ("own", "other"),
        "assistant_mask": _MASK,
        "near_mask": _MASK,
        "child": ("calm", "distressed", "unstable"),
        "posture": ("any", "safe"),
        "surface": ("unclean", "ready", "wet"),
        "field": ("none", "open", "spoiled"),
        "drape": ("none", "laid", "spoiled"),
        "site": (
            "covered",
            "doubtful",
            "bared",
            "wet",
            "rinsed",
            "waited",
            "dry",
            "covered-wet",
            "covered-again",
            "not-aseptic",
        ),
        "soil": ("no", "yes"),
        "residue": ("no", "yes"),
        "edges": ("none", "guarded", "spoiled"),
        "disc": ("none", "on", "wrong"),
        "securement": ("on", "off"),
        "holder": ("nobody", "operator", "assistant"),
        "length": ("unknown", "known"),
        "line": ("placed", "moved", "out", "broken"),
        "blood": ("no", "yes"),
        "clamp": ("off", "on"),
        "hub": (
            "closed",
            "wet",
            "waited",
            "dry",
            "open",
            "spoiled",
            "open-wet",
            "open-waited",
            "wrapped",
        ),
        "lumen": ("running", "paused", "locked", "air"),
        "needle": ("in", "new", "out", "doubtful"),
        "stitches": ("in", "cut"),
        "tract": ("none", "open", "pressed", "sealed"),
        "agreement": ("unasked", "given"),
        "cream": ("none", "on", "worked"),
        "part": ("dry", "spiked", "primed", "hung"),
        "pool": ("none", "possible"),
        "pump": ("stopped", "running"),
        "rates": ("checked", "unchecked"),
        "pressing": ("nobody", "operator", "assistant"),
        "route": ("traced", "untraced"),
        "said": ("yes", "no"),
    }
)
"""Every fact of a state and the words it may take."""

OF_THE_ACTOR = ("hands", "gloves", "size", "mask")
"""Facts written without a person: they mean whoever does the step."""
INDEX: Mapping[str, int] = MappingProxyType(
    {name: place for place, name in enumerate(State._fields)}
)
BARE = frozenset({"bared", "wet", "rinsed", "waited", "dry"})
PREPARED = frozenset({"wet", "rinsed", "waited", "dry"})
OPEN_HUB = frozenset({"open", "spoiled", "open-wet", "open-waited"})


def words_of(state: State) -> tuple[str, ...]:
    """Return the words of a state, in the order of `STATE_WORDS`."""
    return cast("tuple[str, ...]", state[: len(STATE_WORDS)])


def with_facts(state: State, facts: Mapping[str, str]) -> State:
    """Return the state with some facts set; never its items."""
    return state._replace(**facts)  # type: ignore[arg-type]  # facts are words


def is_bare(state: State) -> bool:
    """Return whether skin, hub or tract lies open to the room."""
    return state.site in BARE or state.hub in OPEN_HUB or state.tract == "open"


def skin_of(state: State) -> Skin:
    """Return what a state says of the skin at the site."""
    return state.site, state.soil, state.residue, state.edges, state.blood


def changed(before: State, after: State) -> dict[str, tuple[str, str]]:
    """Return the facts that differ, each with its two words; items left out."""
    return {
        name: (old, new)
        for name, old, new in zip(
            STATE_WORDS, words_of(before), words_of(after), strict=True
        )
        if old != new
    }


def in_words(state: State, facts: tuple[str, ...]) -> str:
    """Return some facts as text, as in "operator gloves clean, site bared"."""
    return ", ".join(
        f"{name.replace('_', ' ')} {getattr(state, name)}" for name in facts
    )
