"""What is done to a line's lumens, its needle and its tract: the effect of each verb."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.state import OPEN_HUB, PREPARED, State, with_facts

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.core.asepsis.act import Act, Effect


def sets(**facts: str) -> Effect:
    """Return an effect that sets facts, whatever the state."""

    def effect(state: State, act: Act, person: str) -> State:
        del act, person
        return with_facts(state, facts)

    return effect


def _pause(state: State, act: Act, person: str) -> State:
    del act, person
    lumen = "paused" if state.lumen == "running" else state.lumen
    return state._replace(lumen=lumen, pump="stopped")


def _resume(state: State, act: Act, person: str) -> State:
    del person
    clamp = "off" if "clamp" in act.step.objects else state.clamp
    rates = state.rates if state.pump == "running" else "unchecked"
    return state._replace(lumen="running", pump="running", clamp=clamp, rates=rates)


def _hang(state: State, act: Act, person: str) -> State:
    """Return the state after hanging: what was not filled stays empty."""
    del act, person
    return state._replace(part="hung") if state.part == "primed" else state


def _open_lumen(state: State, act: Act, person: str) -> State:
    del act, person
    lumen = state.lumen if state.clamp == "on" else "air"
    return state._replace(hub="open", lumen=lumen)


def _connect(state: State, act: Act, person: str) -> State:
    del person
    if state.hub not in OPEN_HUB:
        return state
    route = "untraced" if "set" in act.step.objects else state.route
    return state._replace(hub="closed", part="dry", route=route)


def _flush(state: State, act: Act, person: str) -> State:
    """Return the state after drawing back and flushing: a new needle is tried by it."""
    del act, person
    hub = "closed" if state.hub == "dry" else state.hub
    needle = "in" if state.needle == "new" else state.needle
    return state._replace(lumen="locked", hub=hub, needle=needle)


def _draw_back(state: State, act: Act, person: str) -> State:
    del act, person
    lumen = "locked" if state.lumen == "air" else state.lumen
    return state._replace(
        lumen=lumen, hub="closed" if state.hub == "dry" else state.hub
    )


def _cut_stitches(state: State, act: Act, person: str) -> State:
    """Return the state in which only the hand at the line holds it."""
    del act
    return state._replace(stitches="cut", securement="off", holder=person)


def _press(state: State, act: Act, person: str) -> State:
    if state.tract in ("open", "pressed"):
        if act.short and state.tract == "open":
            return state
        return state._replace(tract="pressed", blood="no", pressing=person)
    site = "bared" if state.site in PREPARED else state.site
    return state._replace(blood="no", site=site)


def _seal(state: State, act: Act, person: str) -> State:
    del act, person
    if state.tract not in ("open", "pressed"):
        return state
    site = "covered-again" if state.site == "dry" else "not-aseptic"
    return state._replace(tract="sealed", site=site, pressing="nobody")


OF_THE_LINE: Mapping[str, Effect] = MappingProxyType(
    {
        "clamp": sets(clamp="on"),
        "unclamp": sets(clamp="off"),
        "pause": _pause,
        "resume": _resume,
        "check-rates": sets(rates="checked"),
        "spike": sets(part="spiked"),
        "prime": sets(part="primed"),
        "hang": _hang,
        "open-lumen": _open_lumen,
        "connect": _connect,
        "flush": _flush,
        "draw-back": _draw_back,
        "needle-out": sets(needle="out"),
        "needle-in": sets(needle="new", part="dry"),
        "cut-stitches": _cut_stitches,
        "pull": sets(line="out", tract="open", holder="nobody", pressing="nobody"),
        "trace": sets(route="traced"),
        "press": _press,
        "seal": _seal,
    }
)
