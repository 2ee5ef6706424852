"""What each verb does, from one state to the next."""

from __future__ import annotations

from typing import Any

import pytest
from tests.asepsis_faults.orders import stage

from lumenkeep.core.asepsis.aims import aims, first, may_change
from lumenkeep.core.asepsis.branch import Maker
from lumenkeep.core.asepsis.effects import EFFECTS, applied
from lumenkeep.core.asepsis.procedure import Step
from lumenkeep.core.asepsis.state import State, changed, with_facts
from lumenkeep.core.asepsis.words import VERBS


def maker(**facts: str) -> Maker:
    here = stage()
    procedure = here.procedure("dressing-change")
    words = {fact: choices[:1] for fact, choices in here.vary_of(procedure)}
    words |= {fact: (word,) for fact, word in facts.items()}
    setting = here.setting(procedure, words)
    return Maker(here.bedside, setting, here.bedside.rules)


def step(verb: str, actor: str = "operator", **changes: Any) -> Step:
    fields: dict[str, Any] = {
        "id": "step",
        "actor": actor,
        "verb": verb,
        "says": "",
        "objects": ("site",),
        "touches": (),
        "uses": (),
        "opens": (),
        "opens_all": False,
        "manner": (),
        "seconds": None,
        "look": None,
        "charted": (),
        "because": "",
        "source": "common-practice",
        "how": None,
        "where": "",
        "when": (),
    }
    return Step(**{**fields, **changes})


def after(before: dict[str, str], of: Step, **facts: str) -> dict[str, str]:
    """Return the facts that a step changes, with their new words."""
    start = with_facts(State(), before)
    return {
        fact: new
        for fact, (_, new) in changed(
            start, applied(start, maker(**facts).act(of))
        ).items()
    }


HUB = {"objects": ("hub",)}
LONG = {"seconds": "plan.scrub"}
GLOVED = {"operator_gloves": "sterile"}

DONE: list[tuple[str, dict[str, str], Step, dict[str, str]]] = [
    ("hands", {}, step("hand-hygiene", seconds="hand-rub"), {"operator_hands": "clean"}),
    ("hands too short", {}, step("hand-hygiene"), {}),
    ("hands over gloves", GLOVED, step("hand-hygiene", seconds="hand-rub"), {}),
    ("mask", {"operator_hands": "clean"}, step("mask"), {"operator_mask": "on", "operator_hands": "soiled"}),
    ("mask in gloves", GLOVED, step("mask"), {"operator_mask": "on", "operator_gloves": "spoiled"}),
    ("mask on those near", {}, step("mask", "near"), {"operator_mask": "on", "assistant_mask": "on", "near_mask": "on"}),
    ("mask off", {"operator_mask": "on"}, step("unmask"), {"operator_mask": "off"}),
    ("mask set from behind", {"operator_mask": "slipped", "assistant_hands": "clean", "near_mask": "on"}, step("set-mask", "assistant"), {"operator_mask": "on", "assistant_hands": "soiled"}),
    ("sterile gloves", {"operator_hands": "clean"}, step("don", objects=("sterile-gloves",)), {"operator_gloves": "sterile"}),
    ("sterile gloves over soiled hands", {}, step("don", objects=("sterile-gloves",)), {"operator_gloves": "spoiled"}),
    ("clean gloves", {"operator_hands": "clean"}, step("don", objects=("clean-gloves",)), {"operator_gloves": "clean"}),
    ("gloves of another's size changed", {"operator_hands": "clean", "operator_size": "other"}, step("don", objects=("sterile-gloves",)), {"operator_gloves": "sterile", "operator_size": "own"}),
    ("gloves off", {**GLOVED, "operator_hands": "clean"}, step("doff"), {"operator_gloves": "none", "operator_hands": "soiled"}),
    ("gloves off lets go of the line", {**GLOVED, "holder": "operator"}, step("doff"), {"operator_gloves": "none", "holder": "nobody"}),
    ("surface", {}, step("clean-surface"), {"surface": "ready"}),
    ("field", {}, step("open-field"), {"field": "open"}),
    ("drape", {}, step("lay-drape"), {"drape": "laid"}),
    ("cleared away", {"field": "open", "drape": "laid"}, step("clear-away"), {"field": "none", "drape": "none"}),
    ("position", {}, step("position"), {"posture": "safe"}),
    ("ask child and family", {"agreement": "unasked"}, step("ask", objects=("child", "family")), {"agreement": "given"}),
    ("ask the family alone", {"agreement": "unasked"}, step("ask", objects=("family",)), {}),
    ("comfort", {"child": "distressed"}, step("comfort"), {"child": "calm"}),
    ("no comfort for the unstable", {"child": "unstable"}, step("comfort"), {}),
    ("said", {"said": "no"}, step("say"), {"said": "yes"}),
    ("hold", {}, step("hold", "assistant"), {"holder": "assistant"}),
    ("measure", {}, step("measure"), {"length": "known"}),
    ("peel", {}, step("peel"), {"site": "bared"}),
    ("wash", {"site": "bared", "soil": "yes"}, step("wash"), {"soil": "no"}),
    ("wash after the scrub", {"site": "dry", "soil": "yes"}, step("wash"), {"soil": "no", "site": "bared"}),
    ("wash the cream off", {"site": "bared", "cream": "worked"}, step("wash"), {"cream": "none"}),
    ("mop", {"pool": "possible"}, step("mop"), {"pool": "none"}),
    ("cream on bare skin", {"site": "bared"}, step("numb"), {"cream": "on", "site": "covered"}),
    ("cream on a film", {}, step("numb"), {}),
    ("cream has its time", {"cream": "on"}, step("wait", objects=("cream",), seconds="numbing-cream"), {"cream": "worked"}),
    ("cream has too little time", {"cream": "on"}, step("wait", objects=("cream",)), {}),
    ("scrub", {"site": "bared"}, step("scrub", **LONG), {"site": "wet"}),
    ("scrub too short", {"site": "bared"}, step("scrub"), {}),
    ("scrub through a dressing", {}, step("scrub", **LONG), {}),
    ("scrub takes barrier film off the exit", {"site": "dry", "edges": "spoiled"}, step("scrub", **LONG), {"site": "wet", "edges": "none"}),
    ("scrub of a joint", {}, step("scrub", seconds="plan.hub-scrub", **HUB), {"hub": "wet"}),
    ("scrub of an open hub", {"hub": "spoiled"}, step("scrub", seconds="plan.hub-scrub", **HUB), {"hub": "open-wet"}),
    ("wait", {"site": "wet"}, step("wait", seconds="plan.dry"), {"site": "waited"}),
    ("wait too short", {"site": "wet"}, step("wait"), {}),
    ("wait after the saline", {"site": "rinsed"}, step("wait"), {"site": "waited"}),
    ("wait for a hub", {"hub": "wet"}, step("wait", **HUB), {"hub": "waited"}),
    ("look", {"site": "waited"}, step("look-dry"), {"site": "dry"}),
    ("look at the wet", {"site": "wet"}, step("look-dry"), {}),
    ("look at a hub", {"hub": "open-waited"}, step("look-dry", **HUB), {"hub": "open"}),
    ("wipe", {"site": "dry", "residue": "yes"}, step("wipe"), {"site": "rinsed", "residue": "no"}),
    ("edges", {"site": "dry"}, step("guard-edges"), {"edges": "guarded"}),
    ("disc", {"site": "dry"}, step("place-disc"), {"disc": "on"}),
    ("disc off", {"disc": "wrong"}, step("take-off-disc"), {"disc": "none"}),
    ("loop lets go", {"holder": "operator"}, step("loop"), {"holder": "nobody"}),
    ("loop of a loose line holds on", {"holder": "operator", "securement": "off"}, step("loop"), {}),
    ("securement off", {}, step("unfasten"), {"securement": "off", "holder": "operator"}),
    ("securement on", {"securement": "off", "holder": "assistant"}, step("fasten"), {"securement": "on", "holder": "nobody"}),
    ("cover dry", {"site": "dry"}, step("cover"), {"site": "covered-again"}),
    ("cover wet", {"site": "wet"}, step("cover"), {"site": "covered-wet"}),
    ("cover unscrubbed", {"site": "bared"}, step("cover"), {"site": "not-aseptic"}),
    ("cover off wet", {"site": "covered-wet"}, step("uncover"), {"site": "wet"}),
    ("cover in an emergency", {"site": "dry"}, step("cover-for-now"), {"site": "not-aseptic"}),
    ("feel", {"site": "dry"}, step("feel"), {"site": "bared"}),
    ("clamp", {}, step("clamp"), {"clamp": "on"}),
    ("unclamp", {"clamp": "on"}, step("unclamp"), {"clamp": "off"}),
    ("pause", {"pump": "running"}, step("pause"), {"lumen": "paused", "pump": "stopped"}),
    ("resume", {"lumen": "paused"}, step("resume"), {"lumen": "running", "pump": "running", "rates": "unchecked"}),
    ("resume and open the clamp", {"lumen": "locked", "clamp": "on"}, step("resume", objects=("pump", "clamp")), {"lumen": "running", "pump": "running", "clamp": "off", "rates": "unchecked"}),
    ("resume what runs", {"pump": "running"}, step("resume"), {}),
    ("check the rates", {"rates": "unchecked"}, step("check-rates", "both"), {"rates": "checked"}),
    ("spike", {"part": "dry"}, step("spike"), {"part": "spiked"}),
    ("prime", {"part": "dry"}, step("prime"), {"part": "primed"}),
    ("hang", {}, step("hang"), {"part": "hung"}),
    ("open clamped", {"clamp": "on", "hub": "dry"}, step("open-lumen"), {"hub": "open"}),
    ("open unclamped", {"hub": "dry"}, step("open-lumen"), {"hub": "open", "lumen": "air"}),
    ("connect", {"hub": "open"}, step("connect"), {"hub": "closed", "part": "dry"}),
    ("flush", {"hub": "dry"}, step("flush"), {"hub": "closed", "lumen": "locked"}),
    ("air back", {"lumen": "air"}, step("draw-back"), {"lumen": "locked"}),
    ("needle out", {}, step("needle-out"), {"needle": "out"}),
    ("needle in", {"needle": "out"}, step("needle-in"), {"needle": "new", "part": "dry"}),
    ("a new needle tried", {"needle": "new", "lumen": "locked"}, step("flush", objects=("needle",)), {"needle": "in"}),
    ("stitches", {}, step("cut-stitches"), {"stitches": "cut", "securement": "off", "holder": "operator"}),
    ("connect a set", {"hub": "open"}, step("connect", objects=("set",)), {"hub": "closed", "part": "dry", "route": "untraced"}),
    ("trace", {"route": "untraced"}, step("trace"), {"route": "traced"}),
    ("barrier film over what lies on the exit", {"edges": "spoiled"}, step("guard-edges"), {}),
    ("edges pressed", {"site": "doubtful"}, step("press-edges"), {"site": "not-aseptic"}),
    ("an open end wrapped", {"hub": "open"}, step("cover-for-now", **HUB), {"hub": "wrapped"}),
    ("pressure taken over", {"tract": "pressed", "pressing": "operator"}, step("hold", "assistant", objects=("tract",)), {"pressing": "assistant"}),
    ("nothing to take over", {"tract": "open"}, step("hold", "assistant", objects=("tract",)), {}),
    ("gloves off lets go of the tract", {**GLOVED, "operator_hands": "soiled", "tract": "pressed", "pressing": "operator"}, step("doff"), {"operator_gloves": "none", "pressing": "nobody", "tract": "open"}),
    ("pressed too short", {"tract": "open"}, step("press", objects=("tract",)), {}),
    ("pull", {"site": "dry"}, step("pull"), {"line": "out", "tract": "open"}),
    ("press the tract", {"tract": "open"}, step("press", objects=("tract",), seconds="removal-press"), {"tract": "pressed", "pressing": "operator"}),
    ("press a bleeding site", {"site": "dry", "blood": "yes"}, step("press"), {"site": "bared", "blood": "no"}),
    ("seal", {"tract": "pressed", "pressing": "operator", "site": "dry"}, step("seal"), {"tract": "sealed", "pressing": "nobody", "site": "covered-again"}),
    ("seal an unscrubbed site", {"tract": "pressed", "site": "bared"}, step("seal"), {"tract": "sealed", "site": "not-aseptic"}),
]  # fmt: skip

TOUCHED: list[tuple[str, dict[str, str], tuple[str, ...], dict[str, str]]] = [
    ("sterile glove, child", GLOVED, ("child",), {"operator_gloves": "spoiled"}),
    ("sterile glove, tails", GLOVED, ("tails",), {"operator_gloves": "spoiled"}),
    ("sterile glove, unscrubbed line", {**GLOVED, "site": "bared"}, ("line",), {"operator_gloves": "spoiled"}),
    ("sterile glove, scrubbed line", {**GLOVED, "site": "dry"}, ("line",), {}),
    ("sterile glove, unscrubbed hub", GLOVED, ("hub",), {"operator_gloves": "spoiled"}),
    ("sterile glove, scrubbed hub", {**GLOVED, "hub": "dry"}, ("hub",), {}),
    ("sterile glove, prepared site", {**GLOVED, "site": "dry"}, ("site",), {}),
    ("clean glove, prepared site", {"operator_gloves": "clean", "site": "dry"}, ("site",), {"site": "bared"}),
    ("bare hand, bed", {"operator_hands": "clean"}, ("surface",), {"operator_hands": "soiled"}),
    ("bare hand, outer pack", {"operator_hands": "clean"}, ("outer-pack",), {}),
    ("clean glove, field", {"operator_gloves": "clean", "field": "open"}, ("field",), {"field": "spoiled"}),
]  # fmt: skip


@pytest.mark.parametrize(
    ("before", "of", "facts"), [pytest.param(*row[1:], id=row[0]) for row in DONE]
)
def test_a_verb_does_what_it_says_and_nothing_else(
    before: dict[str, str], of: Step, facts: dict[str, str]
) -> None:
    assert after(before, of) == facts


@pytest.mark.parametrize(
    ("before", "touches", "facts"),
    [pytest.param(*row[1:], id=row[0]) for row in TOUCHED],
)
def test_what_is_touched_spoils_what_touches(
    before: dict[str, str], touches: tuple[str, ...], facts: dict[str, str]
) -> None:
    assert after(before, step("inspect", touches=touches)) == facts


def test_a_newborns_scrub_may_pool_and_leaves_an_excess() -> None:
    scrub = step("scrub", **LONG)
    before = {"site": "bared", "drape": "laid"}

    assert after(before, scrub, unit="newborn-intensive-care") == {
        "site": "wet",
        "residue": "yes",
        "drape": "spoiled",
        "pool": "possible",
    }


def test_iodine_leaves_a_residue() -> None:
    scrub = step("scrub", **LONG)

    assert after({"site": "bared"}, scrub, agent="povidone-iodine") == {
        "site": "wet",
        "residue": "yes",
    }


def test_every_verb_with_an_effect_is_tried_here() -> None:
    assert {row[2].verb for row in DONE} == set(EFFECTS)
    assert set(EFFECTS) <= set(VERBS)


NEVER_ON_A_WAY_BACK = {
    "peel", "unmask", "clear-away", "resume", "pull", "cover-for-now", "feel",
    "unfasten", "say", "press-edges",
}  # fmt: skip
HELPING = [row for row in DONE if row[2].verb not in NEVER_ON_A_WAY_BACK]


@pytest.mark.parametrize("row", HELPING, ids=lambda row: row[0])
def test_a_change_is_an_aim_or_is_known_to_spoil(row: Any) -> None:
    """The search takes up acts by their aims; none may change a fact unannounced."""
    _, before, of, facts = row
    act = maker().act(of)
    start = with_facts(State(), before)
    works = all(getattr(start, fact) in words for fact, words in first(act).items())

    assert set(facts) <= may_change(act)
    if works and facts and "soiled hands" not in row[0]:
        assert not aims(act).isdisjoint(facts.items())
