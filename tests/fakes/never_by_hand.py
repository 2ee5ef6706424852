"""What must never be done at a bedside, by a table written apart from the engine.

It reads what people do (the words of a step) and keeps a bed of its own. It knows no
rule, no effect and no fact of the engine, and of a slip only its name: what each slip
does here, and what must follow it, is written out by hand below.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

OPEN = ("open", "dirty", "open-wet", "open-waited")
BARE = ("bare", "wet", "waited", "dry", "rinsed")
READY = ("wet", "waited", "dry", "rinsed")
NOT_IN_STERILE = {"child", "surface", "mask", "old-dressing", "pump", "bin", "room"}
LAID = {
    "transparent": ({"clear-film"}, {"gauze-dressing", "clear-film-gel"}),
    "transparent-chg-disc": ({"clear-film"}, {"gauze-dressing", "clear-film-gel"}),
    "transparent-chg-gel": ({"clear-film-gel"}, {"gauze-dressing"}),
    "gauze": ({"gauze-dressing"}, {"clear-film", "clear-film-gel"}),
    "gauze-under-transparent": ({"gauze-dressing", "clear-film"}, {"clear-film-gel"}),
}
"""What each planned dressing is covered with, and with what never."""


@dataclass
class Bed:
    """What lies there, as somebody in the room would say it."""

    procedure: str
    planned: dict[str, Any]
    unsaid: bool = False
    hands: dict[str, bool] = field(
        default_factory=lambda: {"operator": False, "assistant": False}
    )
    gloves: dict[str, str] = field(
        default_factory=lambda: {"operator": "none", "assistant": "none"}
    )
    masks: dict[str, bool] = field(
        default_factory=lambda: {"operator": False, "assistant": False, "near": False}
    )
    lying: str = "no field"
    drape: str = "none"
    site: str = "covered"
    soil: bool = False
    left_on: bool = False
    pool: bool = False
    barrier: str = "none"
    disc: str = "none"
    secured: bool = True
    held_by: str = "nobody"
    blood: bool = False
    hub: str = "shut"
    clamped: bool = False
    air: bool = False
    pumping: bool = False
    flushed: bool = True
    rates: bool = True
    traced: bool = True
    filled: bool = True
    needle: str = "tried"
    line: str = "in place"
    tract: str = "none"
    presser: str = "nobody"
    flat: bool = False
    calm: bool = True
    cream: bool = False


def bed_before(procedure: str, planned: dict[str, Any]) -> Bed:
    """Return the bed before the first step of a procedure."""
    bed = Bed(
        procedure, planned, soil=planned["soil"] and procedure == "dressing-change"
    )
    if procedure in (
        "connector-change",
        "set-change",
        "port-needle-change",
        "line-removal",
    ):
        bed.pumping = True
    if procedure in ("connector-change", "set-change", "port-needle-change"):
        bed.filled = False
    if procedure == "re-cover":
        bed.site = "lifted"
    return bed


# ------------------------------------------------------------------- what is done


def people(actor: str) -> tuple[str, ...]:
    """Return who does a step."""
    return {
        "both": ("operator", "assistant"),
        "near": ("operator", "assistant"),
        "child": (),
    }.get(actor, (actor,))


def dirty_hand(bed: Bed, who: str) -> None:
    """Soil the hand of somebody, or the glove on it."""
    if bed.gloves[who] == "none":
        bed.hands[who] = False
    else:
        bed.gloves[who] = "spoiled"


def done(bed: Bed, step: Any, seconds: int) -> None:
    """Change the bed by what is done."""
    verb, about = step.verb, set(step.objects)
    for who in people(step.actor):
        touched = set(step.touches)
        if bed.gloves[who] == "none" and touched & {
            "child",
            "surface",
            "mask",
            "old-dressing",
            "old-securement",
            "pump",
            "bin",
            "room",
            "tails",
            "line",
            "skin",
        }:
            bed.hands[who] = False
        if bed.gloves[who] == "sterile" and touched & NOT_IN_STERILE:
            bed.gloves[who] = "spoiled"
        _one(bed, verb, about, who, seconds)
    _all(bed, verb, about, step, seconds)


def _one(bed: Bed, verb: str, about: set[str], who: str, seconds: int) -> None:
    if verb == "hand-hygiene" and bed.gloves[who] == "none" and seconds:
        bed.hands[who] = True
    if verb == "don":
        good = "sterile" if "sterile-gloves" in about else "clean"
        bed.gloves[who] = good if bed.hands[who] or good == "clean" else "spoiled"
    if verb == "doff":
        if bed.gloves[who] != "none":
            bed.hands[who] = False
        bed.gloves[who] = "none"
        bed.held_by = "nobody" if bed.held_by == who else bed.held_by
        if bed.presser == who:
            bed.presser, bed.tract = "nobody", "open"
    if verb in ("mask", "unmask", "set-mask"):
        dirty_hand(bed, who)
    if verb == "mask":
        bed.masks[who] = bed.masks["near"] = True
    if verb == "unmask":
        bed.masks[who] = bed.masks["near"] = False
    if verb == "set-mask":
        bed.masks["operator" if who == "assistant" else "assistant"] = bed.masks[
            "near"
        ] = True
    if verb == "hold" and "tract" not in about:
        bed.held_by = who
    if verb == "hold" and "tract" in about and bed.tract == "pressed":
        bed.presser = who
    if verb == "press" and bed.tract in ("open", "pressed"):
        bed.tract, bed.presser, bed.blood = "pressed", who, False
    if verb in ("unfasten", "cut-stitches"):
        bed.secured = False
        bed.held_by = (
            who if verb == "cut-stitches" or bed.held_by == "nobody" else bed.held_by
        )


def _all(bed: Bed, verb: str, about: set[str], step: Any, seconds: int) -> None:
    hub = "hub" in about
    plain: dict[str, dict[str, Any]] = {
        "say": {"unsaid": False}, "open-field": {"lying": "field"}, "lay-drape": {"drape": "good"},
        "clear-away": {"lying": "no field", "drape": "none"}, "mop": {"pool": False},
        "position": {"flat": True}, "comfort": {"calm": True}, "clamp": {"clamped": True},
        "unclamp": {"clamped": False}, "pause": {"pumping": False}, "prime": {"filled": True},
        "trace": {"traced": True}, "needle-out": {"needle": "none"}, "place-disc": {"disc": "on"},
        "take-off-disc": {"disc": "none"}, "fasten": {"secured": True, "held_by": "nobody"},
        "peel": {"site": "bare"}, "draw-back": {"air": False}, "check-rates": {"rates": True},
        "pull": {"line": "out", "tract": "open", "held_by": "nobody", "presser": "nobody"},
    }  # fmt: skip
    for name, value in plain.get(verb, {}).items():
        setattr(bed, name, value)
    if verb == "press" and bed.tract == "none":
        bed.blood = False
        bed.site = "bare" if bed.site in READY else bed.site
    if verb == "resume":
        bed.rates = bed.rates if bed.pumping else False
        bed.pumping = True
        bed.clamped = False if "clamp" in about else bed.clamped
    if verb == "needle-in":
        bed.needle, bed.filled = "untried", False
    if verb == "flush":
        bed.flushed = True
        bed.needle = "tried" if bed.needle == "untried" else bed.needle
        bed.hub = "shut" if bed.hub == "ready" else bed.hub
    if verb == "open-lumen":
        bed.hub, bed.flushed = "open", False
        bed.air = bed.air or not bed.clamped
    if verb == "connect" and bed.hub in OPEN:
        bed.hub, bed.filled = "shut", False
        bed.traced = bed.traced and "set" not in about
    if verb == "scrub" and hub:
        bed.hub = "open-wet" if bed.hub in OPEN else "wet"
    if verb == "wait" and hub:
        bed.hub = {"wet": "waited", "open-wet": "open-waited"}.get(bed.hub, bed.hub)
    if verb == "look-dry" and hub:
        bed.hub = {"waited": "ready", "open-waited": "open"}.get(bed.hub, bed.hub)
    if verb == "cover-for-now" and hub:
        bed.hub = "wrapped"
    if not hub:
        _site(bed, verb, about, seconds)
    if verb == "numb":
        bed.cream, bed.site = True, "covered"
    if verb == "wash":
        bed.soil = bed.cream = False


def _site(bed: Bed, verb: str, about: set[str], seconds: int) -> None:
    if verb == "scrub" and bed.site in BARE and seconds >= bed.planned["scrub_s"]:
        bed.site, bed.barrier, bed.disc = "wet", "none", "none"
        bed.left_on = bed.planned["leaves"]
        bed.pool = bed.planned["newborn"]
        if bed.planned["newborn"] and bed.drape == "good":
            bed.drape = "wet"
    if verb == "wait" and "cream" not in about and "child" not in about:
        if bed.site == "rinsed" or (
            bed.site == "wet" and seconds >= bed.planned["dry_s"]
        ):
            bed.site = "waited"
    if verb == "look-dry" and bed.site == "waited":
        bed.site = "dry"
    if verb == "wash" and bed.site in BARE:
        bed.site = "bare"
    if verb == "wipe" and bed.site in BARE:
        bed.left_on = False
        bed.site = "rinsed" if bed.site in READY else bed.site
    if verb == "guard-edges":
        bed.barrier = "on exit" if bed.barrier == "on exit" else "on edges"
    if verb == "cover" and bed.site in BARE:
        bed.site = {"dry": "shut", "bare": "dirty cover"}.get(bed.site, "wet cover")
        bed.held_by = "nobody" if bed.secured else bed.held_by
    if verb == "uncover":
        bed.site = {"shut": "dry", "wet cover": "wet", "dirty cover": "bare"}.get(
            bed.site, bed.site
        )
    if verb in ("cover-for-now", "press-edges") and bed.site in (*BARE, "lifted"):
        bed.site = "for now"
    if verb == "seal" and bed.tract in ("open", "pressed"):
        bed.site = "shut" if bed.site == "dry" else "for now"
        bed.tract, bed.presser = "sealed", "nobody"
    if verb == "loop" and bed.secured:
        bed.held_by = "nobody"


# ------------------------------------------------------------------ what never is

Never = tuple[str, "Callable[[Bed, Any, int], bool]"]


def _v(*verbs: str) -> Callable[[Any], bool]:
    return lambda step: step.verb in verbs


def by_operator(step: Any) -> bool:
    """Return whether the operator has a hand in it."""
    return "operator" in people(step.actor)


NEVER: list[Never] = [
    ("goes on before it is said", lambda b, s, _: b.unsaid and s.verb != "say"),
    ("joins what is not filled", lambda b, s, _: s.verb in ("connect", "needle-in") and not b.filled),
    ("joins to a hub that is dirty or wet", lambda b, s, _: s.verb == "connect" and b.hub != "open"),
    ("leaves an open lumen unclamped", lambda b, s, _: b.hub in OPEN and not b.clamped and s.verb not in ("say", "clamp", "tell")),
    ("opens a lumen unclamped", lambda b, s, _: s.verb == "open-lumen" and not b.clamped),
    ("opens a joint that is not scrubbed and dry", lambda b, s, _: s.verb == "open-lumen" and b.hub != "ready"),
    ("unclamps an open line, or air", lambda b, s, _: s.verb in ("unclamp", "resume") and (b.hub in OPEN or b.air)),
    ("clamps, opens, flushes or pulls against a running pump", lambda b, s, _: s.verb in ("clamp", "open-lumen", "flush", "needle-out", "pull") and b.pumping),
    ("runs what was not drawn back and flushed", lambda b, s, _: s.verb == "resume" and b.procedure == "connector-change" and not b.flushed),
    ("runs a set that nobody followed", lambda b, s, _: s.verb in ("resume", "unclamp") and not b.traced),
    ("checks rates alone", lambda b, s, _: s.verb == "check-rates" and s.actor != "both"),
    ("scrubs, covers or runs over a needle that failed", lambda b, s, _: b.needle == "failed" and s.verb in ("scrub", "wipe", "wash", "cover", "flush", "resume", "unclamp", "don", "doff", "hand-hygiene", "guard-edges")),
    ("covers or runs through a needle nobody tried", lambda b, s, _: b.needle == "untried" and s.verb in ("cover", "resume", "unclamp")),
    ("puts a needle in beside another", lambda b, s, _: s.verb == "needle-in" and b.needle != "none"),
    ("puts a needle in again", lambda b, s, _: s.verb == "needle-in" and "port-needle" not in dict(s.uses)),
    ("scrubs, washes or wipes a fresh tract", lambda b, s, _: b.tract != "none" and s.verb in ("scrub", "wash", "wipe")),
    ("leaves an open tract unpressed", lambda b, s, _: b.tract == "open" and s.verb not in ("say", "press", "position", "set-mask", "tell", "pause")),
    ("presses a tract too short", lambda b, s, t: s.verb == "press" and b.tract == "open" and t < b.planned["tract_s"]),
    ("presses a tract upright", lambda b, s, _: s.verb == "press" and b.tract == "open" and not b.flat),
    ("lets go of the pressure", lambda b, s, _: b.tract == "pressed" and s.verb in ("doff", "don", "hand-hygiene", "clear-away", "open-field", "open", "clean-surface") and b.presser in people(s.actor)),
    ("presses nothing on, or with an empty hand", lambda b, s, _: s.verb in ("press", "cover", "seal", "cover-for-now", "scrub", "wipe", "wash", "flush", "connect") and not s.uses),
    ("scrubs with too few swabs", lambda b, s, _: s.verb == "scrub" and "site" in s.objects and not any(n == "plan.swabs" or int(n) >= b.planned["swabs"] for i, n in s.uses if i == "antiseptic-swab")),
    ("scrubs too short", lambda b, s, t: s.verb == "scrub" and t < (b.planned["hub_s"] if "hub" in s.objects else b.planned["scrub_s"])),
    ("scrubs soil or cream in", lambda b, s, _: s.verb == "scrub" and "site" in s.objects and (b.soil or b.cream)),
    ("puts something on skin that is not scrubbed and dry", lambda b, s, _: s.verb in ("cover", "guard-edges", "place-disc", "needle-in", "cut-stitches", "pull") and b.site != "dry"),
    ("sticks strips on skin that is not dry", lambda b, s, _: "sterile-strips" in dict(s.uses) and b.site != "dry"),
    ("seals antiseptic in", lambda b, s, _: s.verb in ("cover", "guard-edges", "place-disc", "seal", "loop") and b.left_on),
    ("takes antiseptic off before it worked", lambda b, s, _: s.verb == "wipe" and b.site in ("wet", "waited")),
    ("lets a newborn lie in antiseptic", lambda b, s, _: s.verb == "wait" and "site" in s.objects and b.planned["newborn"] and (b.pool or b.drape == "wet")),
    ("works on a wet drape", lambda b, s, _: b.drape == "wet" and s.verb in ("scrub", "wipe", "cover", "guard-edges", "place-disc")),
    ("puts barrier film over barrier film", lambda b, s, _: s.verb == "guard-edges" and b.barrier != "none"),
    ("covers what lies on the exit point", lambda b, s, _: s.verb in ("cover", "place-disc") and b.barrier == "on exit"),
    ("covers bleeding", lambda b, s, _: s.verb in ("cover", "scrub", "guard-edges", "place-disc") and b.blood),
    ("covers a disc that lies wrong, or none where one is planned", lambda b, s, _: s.verb == "cover" and b.procedure == "dressing-change" and ((b.disc == "wrong") or (b.planned["dressing"] == "transparent-chg-disc" and b.disc != "on"))),
    ("covers with what the plan does not say", lambda b, s, _: s.verb == "cover" and b.planned["dressing"] in LAID and b.procedure == "dressing-change" and (not LAID[b.planned["dressing"]][0] <= set(dict(s.uses)) or bool(LAID[b.planned["dressing"]][1] & set(dict(s.uses))))),
    ("puts gloves on dirty hands", lambda b, s, _: s.verb == "don" and not all(b.hands[w] for w in people(s.actor))),
    ("puts gloves on gloves", lambda b, s, _: s.verb == "don" and any(b.gloves[w] != "none" for w in people(s.actor))),
    ("rubs gloves", lambda b, s, _: s.verb == "hand-hygiene" and any(b.gloves[w] != "none" for w in people(s.actor))),
    ("touches something unsterile in sterile gloves", lambda b, s, _: any(b.gloves[w] == "sterile" for w in people(s.actor)) and bool(set(s.touches) & NOT_IN_STERILE) and (b.site in BARE or b.lying == "field") and s.verb not in ("unmask",)),
    ("does sterile work without sterile gloves", lambda b, s, _: s.verb in ("scrub", "wipe", "guard-edges", "place-disc", "needle-in", "pull", "lay-drape", "cut-stitches") and "hub" not in s.objects and b.gloves["operator"] != "sterile"),
    ("covers without sterile gloves", lambda b, s, _: s.verb in ("cover", "seal") and b.gloves["operator"] != "sterile"),
    ("works key parts bare-handed", lambda b, s, _: s.verb in ("spike", "prime", "connect", "open-lumen") and b.gloves["operator"] in ("none", "spoiled")),
    ("opens things on to no field, or a lost one", lambda b, s, _: s.verb == "open" and b.lying != "field"),
    ("opens packs with dirty hands", lambda b, s, _: s.verb in ("open", "open-field") and any(b.gloves[w] in ("none", "spoiled") and not b.hands[w] for w in people(s.actor))),
    ("works unmasked over the site", lambda b, s, _: s.verb in ("scrub", "wipe", "cover", "guard-edges", "place-disc", "needle-in", "pull", "seal") and "hub" not in s.objects and not all(b.masks.values())),
    ("lays a field unmasked", lambda b, s, _: s.verb == "open-field" and not all(b.masks.values())),
    ("works on a child in distress", lambda b, s, _: not b.calm and s.verb in ("peel", "scrub", "cover", "needle-in", "pull", "open-lumen", "open-field", "place-disc", "guard-edges")),
    ("lets a loose line go", lambda b, s, _: not b.secured and b.line == "in place" and b.site in BARE and b.held_by == "nobody" and s.verb not in ("say", "hold", "fasten", "loop")),
    ("lets go of a line to change gloves", lambda b, s, _: not b.secured and b.line == "in place" and s.verb in ("doff", "don", "hand-hygiene", "open", "open-field") and b.held_by in people(s.actor)),
    ("holds a bared line bare-handed", lambda b, s, _: s.verb == "hold" and b.site in BARE and any(b.gloves[w] == "none" for w in people(s.actor))),
    ("pulls unclamped, upright or with stitches in", lambda b, s, _: s.verb == "pull" and not (b.clamped and b.flat and not b.secured)),
]  # fmt: skip
"""What never happens on a way back or on the way on: a sentence, and when it would."""

MISFITS: list[Never] = [
    ("Jewels off", lambda b, s, _: True),
    ("they were at the face", lambda b, s, _: True),
    ("still touched the old dressing", lambda b, s, _: True),
    ("They were at the child", lambda b, s, _: True),
    ("medicine that needs time", lambda b, s, _: True),
    ("over the puncture", lambda b, s, _: True),
    ("Wipe the cream off", lambda b, s, _: not b.cream),
    ("joint of old connector", lambda b, s, _: b.hub in OPEN),
    ("Masks on everyone near", lambda b, s, _: True),
    ("Through the film", lambda b, s, _: b.site in BARE),
    ("through the film", lambda b, s, _: b.site in BARE),
    ("for the cream", lambda b, s, _: not b.cream),
]  # fmt: skip
"""Words of a step that fit one moment only, and when a way back may not borrow them."""


# ------------------------------------------------------------------ what slips do


def slipped(bed: Bed, slip: str) -> None:
    """Change the bed by a slip, as its name says."""
    ready = bed.site in READY
    if slip in (
        "glove-touches-unsterile",
        "glove-tears",
        "wrong-size",
        "hands-forgotten",
        "old-gloves-on-site",
        "assistant-meets-glove",
        "sharp-in-finger",
    ):
        bed.gloves["operator"] = "spoiled"
    if slip in (
        "reached-over",
        "field-wet",
        "field-left",
        "mask-slips",
        "unmasked-near",
        "child-on-field",
        "site-soiled",
        "sharp-in-finger",
    ):
        bed.lying = "lost" if bed.lying == "field" else bed.lying
    if ready and slip in (
        "glove-tears",
        "reached-over",
        "mask-slips",
        "unmasked-near",
        "old-gloves-on-site",
        "bleeding",
    ):
        bed.site = "bare"
    if slip in (
        "child-on-prepared-site",
        "blotted",
        "site-soiled",
        "needle-without-return",
        "wrong-agent",
    ):
        bed.site = "bare"
    if slip in (
        "child-on-field",
        "child-on-bared-site",
        "child-on-prepared-site",
        "child-distressed",
        "child-unstable",
    ):
        bed.calm = False
    changes: dict[str, dict[str, Any]] = {
        "site-soiled": {"soil": True}, "bleeding": {"blood": True}, "covered-wet": {"site": "wet cover"},
        "residue-left": {"left_on": True}, "barrier-on-exit": {"barrier": "on exit"},
        "disc-wrong": {"disc": "wrong"}, "drape-soaked": {"drape": "wet"},
        "line-moved": {"line": "moved"}, "line-out": {"line": "out", "tract": "open", "held_by": "nobody"},
        "line-broken": {"line": "broken"}, "securement-off": {"secured": False, "held_by": "nobody"},
        "open-hub-touched": {"hub": "dirty"}, "tip-touched": {"filled": False},
        "opened-unclamped": {"clamped": False, "air": True}, "needle-without-return": {"needle": "failed"},
        "pressure-let-go": {"tract": "open", "flat": False, "presser": "nobody"},
    }  # fmt: skip
    for name, value in changes.get(slip, {}).items():
        setattr(bed, name, value)
    if slip == "mask-slips":
        bed.masks["operator"] = False
    if slip == "unmasked-near":
        bed.masks["near"] = False
    bed.unsaid = True


def begun(bed: Bed, step: Any) -> None:
    """Change the bed by a step that was begun and not finished."""
    if step.verb == "connect":
        bed.filled = False
    if step.verb == "needle-in":
        bed.filled, bed.needle = False, "failed"
    if step.verb == "peel":
        bed.site = "bare"
    if step.verb == "cut-stitches" or (
        step.verb == "unfasten" and bed.held_by == "nobody"
    ):
        bed.held_by = "operator"
    if step.verb in ("unfasten", "cut-stitches"):
        bed.secured = False


GLOVES_NEW = ("doff operator", "hand-hygiene operator")
SCRUBBED = ("scrub site", "wait site", "look-dry site")
REDO: dict[str, tuple[str, ...]] = {
    "glove-touches-unsterile": GLOVES_NEW, "glove-tears": GLOVES_NEW,
    "wrong-size": (*GLOVES_NEW, "don operator"), "hands-forgotten": (*GLOVES_NEW, "don operator"),
    "assistant-meets-glove": GLOVES_NEW, "child-distressed": ("comfort",),
    "child-on-field": ("comfort",), "child-on-bared-site": ("comfort", *SCRUBBED),
    "child-on-prepared-site": ("comfort", *SCRUBBED), "site-soiled": ("wash", *SCRUBBED),
    "blotted": SCRUBBED, "barrier-on-exit": (*SCRUBBED, "guard-edges"),
    "scrub-cut-short": ("scrub", "wait", "look-dry"), "swab-returns": ("scrub|wipe",),
    "covered-wet": ("uncover", "wait site", "look-dry site", "cover"),
    "residue-left": ("uncover", "wipe", "wait site", "look-dry site", "cover"),
    "film-spoiled": ("cover",), "disc-wrong": ("take-off-disc", "place-disc"),
    "old-gloves-on-site": (*GLOVES_NEW, "don operator", *SCRUBBED), "drape-soaked": ("lay-drape",),
    "bleeding": ("press", *SCRUBBED), "securement-off": ("fasten", "inspect|measure"),
    "open-hub-touched": ("scrub hub", "wait hub", "look-dry hub", "connect"),
    "tip-touched": ("prime", "connect|needle-in"), "opened-unclamped": ("clamp", "draw-back"),
    "needle-without-return": ("needle-out", *SCRUBBED, "needle-in", "flush"),
    "length-forgotten": ("measure",), "pressure-let-go": ("position", "press"),
    "mask-slips": ("set-mask|mask",), "unmasked-near": ("set-mask|mask",),
}  # fmt: skip
"""What follows each slip at least, in this order, by the way back or the steps after."""


def in_order(asked: Sequence[str], steps: Iterable[Any]) -> bool:
    """Return whether what is asked is done, in its order."""
    left = list(asked)
    for step in steps:
        if left and _is(step, left[0]):
            left.pop(0)
    return not left


def _is(step: Any, asked: str) -> bool:
    verbs, _, rest = asked.partition(" ")
    if step.verb not in verbs.split("|"):
        return False
    return not rest or rest in step.objects or rest in people(step.actor)


# ------------------------------------------------------------------------ told


def wrong_on_the_way(
    bed: Bed, acts: Iterable[tuple[Any, int]], borrowed: int
) -> Iterator[str]:
    """Yield what never may be; the first acts are borrowed for the way back."""
    for place, (step, seconds) in enumerate(acts):
        for says, never in NEVER:
            if never(bed, step, seconds):
                yield f"{step.id} {says}"
        if place < borrowed:
            for phrase, misfit in MISFITS:
                if phrase in step.says and misfit(bed, step, seconds):
                    yield f"{step.id} says “{phrase}”, which does not fit"
        done(bed, step, seconds)


def wrong_at_the_end(bed: Bed) -> Iterator[str]:
    """Yield what is wrong with a bed that people leave for good."""
    checks = [
        ("the hub is not shut", bed.hub not in ("shut", "ready")),
        ("there is air in the line", bed.air),
        ("no needle lies in the port, or one that nobody tried", bed.needle != "tried"),
        ("the tract is not sealed", bed.tract in ("open", "pressed")),
        ("it bleeds", bed.blood),
        ("antiseptic was sealed in", bed.left_on and bed.procedure != "re-cover"),
        ("the site is not covered", bed.site in (*BARE, "lifted", "wet cover", "dirty cover")),
        ("the line is loose", not bed.secured and bed.line == "in place"),
        ("rates were not checked by two", not bed.rates and bed.procedure in ("connector-change", "set-change", "port-needle-change")),
        ("the child is left in distress", not bed.calm),
        ("the line is clamped and should run", bed.clamped and bed.procedure in ("connector-change", "set-change", "port-needle-change")),
    ]  # fmt: skip
    yield from (says for says, is_wrong in checks if is_wrong)


def wrong_at_a_stop(bed: Bed, acts: Sequence[Any]) -> Iterator[str]:
    """Yield what is unsafe where somebody stopped and called."""
    verbs = [step.verb for step in acts]
    checks = [
        ("it was not said first", verbs[:1] != ["say"]),
        ("nobody was called", verbs[-1:] != ["tell"]),
        ("a line is open and unclamped", bed.hub in OPEN and not bed.clamped),
        ("an open end is left bare", bed.hub in OPEN),
        ("a broken line is unclamped", bed.line == "broken" and not bed.clamped),
        ("something runs into a line that moved, broke or came out", bed.line in ("moved", "broken", "out") and bed.pumping),
        ("a tract is not pressed and sealed", bed.tract in ("open", "pressed")),
        ("whose line is out does not lie flat", bed.tract == "sealed" and not bed.flat),
        ("it bleeds", bed.blood),
        ("the site is open", bed.site in (*BARE, "lifted")),
        ("a loose line is not held", not bed.secured and bed.line != "out" and bed.held_by != "assistant"),
        ("a needle that nobody tried runs", bed.needle in ("untried", "failed") and bed.pumping),
        ("a newborn lies in antiseptic", bed.pool),
    ]  # fmt: skip
    yield from (says for says, is_wrong in checks if is_wrong)
