"""What each verb is for, what it may spoil, and where it works at all.

The search for a way back starts from what is wrong and takes up only acts that aim at
it, or at what those acts need. `effects.py` says what happens; this says why somebody
would do it. A test holds the two together.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.state import BARE

if TYPE_CHECKING:
    from lumenkeep.core.asepsis.act import Act

Pair = tuple[str, str]
Words = Mapping[str, tuple[str, ...]]

_SITE_OR_HUB: Mapping[str, tuple[Words, Words]] = MappingProxyType(
    {
        "scrub": (
            {"site": ("wet",), "edges": ("none",), "residue": ("no",)},
            {"hub": ("wet", "open-wet")},
        ),
        "wait": ({"site": ("waited",)}, {"hub": ("waited", "open-waited")}),
        "look-dry": ({"site": ("dry",)}, {"hub": ("dry", "open")}),
    }
)
_FIRST_SITE_OR_HUB: Mapping[str, tuple[Words, Words]] = MappingProxyType(
    {
        "scrub": (
            {"site": tuple(sorted(BARE))},
            {"hub": ("closed", "open", "spoiled")},
        ),
        "wait": ({"site": ("wet", "rinsed")}, {"hub": ("wet", "open-wet")}),
        "look-dry": ({"site": ("waited",)}, {"hub": ("waited", "open-waited")}),
    }
)
_AIMS: Mapping[str, Words] = MappingProxyType(
    {
        "hand-hygiene": {"hands": ("clean",)},
        "mask": {"mask": ("on",), "near_mask": ("on",)},
        "set-mask": {"operator_mask": ("on",), "near_mask": ("on",)},
        "doff": {"gloves": ("none",), "size": ("own",)},
        "clean-surface": {"surface": ("ready",)},
        "open-field": {"field": ("open",)},
        "lay-drape": {"drape": ("laid",)},
        "position": {"posture": ("safe",)},
        "comfort": {"child": ("calm",)},
        "measure": {"length": ("known",)},
        "wash": {"soil": ("no",), "cream": ("none",)},
        "mop": {"pool": ("none",)},
        "numb": {"cream": ("on",), "site": ("covered",)},
        "ask": {"agreement": ("given",)},
        "spike": {"part": ("spiked",)},
        "prime": {"part": ("primed",)},
        "hang": {"part": ("hung",)},
        "check-rates": {"rates": ("checked",)},
        "wipe": {"residue": ("no",), "site": ("rinsed",)},
        "guard-edges": {"edges": ("guarded",)},
        "place-disc": {"disc": ("on",)},
        "take-off-disc": {"disc": ("none",)},
        "fasten": {"securement": ("on",), "holder": ("nobody",)},
        "loop": {"holder": ("nobody",)},
        "cover": {"site": ("covered-again",), "holder": ("nobody",)},
        "uncover": {"site": ("wet", "dry", "bared")},
        "clamp": {"clamp": ("on",)},
        "unclamp": {"clamp": ("off",)},
        "pause": {"lumen": ("paused",), "pump": ("stopped",)},
        "open-lumen": {"hub": ("open",)},
        "connect": {"hub": ("closed",)},
        "flush": {"lumen": ("locked",), "hub": ("closed",), "needle": ("in",)},
        "draw-back": {"lumen": ("locked",)},
        "needle-out": {"needle": ("out",)},
        "needle-in": {"needle": ("new",)},
        "trace": {"route": ("traced",)},
        "cut-stitches": {"stitches": ("cut",)},
        "press": {"tract": ("pressed",), "blood": ("no",)},
        "seal": {"tract": ("sealed",), "site": ("covered-again",)},
    }
)
_FIRST: Mapping[str, Words] = MappingProxyType(
    {
        "wipe": {"site": tuple(sorted(BARE))},
        "wash": {"site": tuple(sorted(BARE))},
        "numb": {"site": tuple(sorted(BARE))},
        "cover": {"site": ("dry",)},
        "uncover": {"site": ("covered-wet", "covered-again", "not-aseptic")},
        "connect": {"hub": ("open",)},
        "hang": {"part": ("primed",)},
        "draw-back": {"lumen": ("air",)},
        "seal": {"tract": ("pressed",), "site": ("dry",)},
    }
)
_SPOILS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "doff": ("hands", "holder", "pressing", "tract"),
        "mask": ("hands", "gloves"),
        "set-mask": ("hands", "gloves"),
        "wash": ("site",),
        "press": ("site", "pressing"),
        "cut-stitches": ("securement", "holder"),
        "wipe": ("site",),
        "scrub": ("residue", "edges", "disc", "site"),
        "uncover": ("site",),
        "open-lumen": ("lumen",),
        "connect": ("part", "route"),
        "seal": ("pressing",),
        "needle-in": ("part",),
        "take-off-disc": ("disc",),
    }
)


def _people(act: Act, fact: str) -> tuple[str, ...]:
    if fact not in ("hands", "gloves", "size", "mask"):
        return (fact,)
    people = [person for person in act.people if person != "near"]
    return tuple(f"{person}_{fact}" for person in people)


def _pairs(act: Act, words: Words) -> frozenset[Pair]:
    return frozenset(
        (name, value)
        for fact, values in words.items()
        for name in _people(act, fact)
        for value in values
    )


def aims(act: Act) -> frozenset[Pair]:
    """Return the facts and words that an act is done for."""
    verb = act.step.verb
    if _waits_for_cream(act):
        return frozenset({("cream", "worked")})
    if verb in _SITE_OR_HUB:
        return _pairs(act, _SITE_OR_HUB[verb]["hub" in act.step.objects])
    if verb == "hold":
        fact = "pressing" if "tract" in act.step.objects else "holder"
        return frozenset({(fact, act.people[0])})
    if verb == "press":
        return _pairs(act, _AIMS[verb]) | {("pressing", act.people[0])}
    if verb == "don":
        kind = "sterile" if "sterile-gloves" in act.step.objects else "clean"
        return _pairs(act, {"gloves": (kind,), "size": ("own",)})
    return _pairs(act, _AIMS.get(verb, {}))


def _waits_for_cream(act: Act) -> bool:
    return act.step.verb == "wait" and "cream" in act.step.objects


def first(act: Act) -> Mapping[str, tuple[str, ...]]:
    """Return the facts and words without which an act does nothing."""
    verb = act.step.verb
    if _waits_for_cream(act):
        return {"cream": ("on",)}
    if verb == "hold" and "tract" in act.step.objects:
        return {"tract": ("pressed",)}
    if verb in _FIRST_SITE_OR_HUB:
        return _FIRST_SITE_OR_HUB[verb]["hub" in act.step.objects]
    return _FIRST.get(verb, {})


def may_change(act: Act) -> frozenset[str]:
    """Return every fact that an act can change, for better or worse."""
    facts = {fact for fact, _ in aims(act)}
    for fact in _SPOILS.get(act.step.verb, ()):
        facts.update(_people(act, fact))
    if act.may_pool and act.step.verb == "scrub":
        facts.update(("pool", "drape"))
    if act.step.touches:
        for fact in ("hands", "gloves"):
            facts.update(_people(act, fact))
        if "site" in act.step.touches:
            facts.add("site")
    return frozenset(facts)
