"""What each verb does to the state.

An effect says what happens, right or wrong: whether it was right is for the rules. A
verb that is not named here changes nothing that asepsis depends on.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.effects_of_line import OF_THE_LINE, sets
from lumenkeep.core.asepsis.state import (
    BARE,
    OPEN_HUB,
    PREPARED,
    Lot,
    State,
    with_facts,
)
from lumenkeep.core.asepsis.words import SOILING, UNSTERILE

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.core.asepsis.act import Act, Effect


BYSTANDERS = ("near", "child")
OF_A_BYSTANDER = ("mask", "unmask")
"""What changes something by the hand of who stands by, or of the child."""


def applied(state: State, act: Act) -> State:
    """Return the state after ``act``: its verb, then what was touched and used up."""
    state = happened(state, act)
    return supplied(state, act) if act.uses or act.opens else state


def happened(state: State, act: Act) -> State:
    """Return the state after the verb and what was touched; nothing is used up yet."""
    if act.effect is not None:
        for person in act.people or ("child",):
            if person not in BYSTANDERS or act.step.verb in OF_A_BYSTANDER:
                state = act.effect(state, act, person)
    return _touched(state, act) if act.step.touches else state


def lacking(state: State, act: Act) -> tuple[tuple[int, int], ...]:
    """Return the items, by place, and how many of each the act does not find."""
    missing = []
    for place, count in act.uses:
        lot = state.items[place]
        there = lot.ready if act.from_field[place] else lot.sealed
        if there < count:
            missing.append((place, count - there))
    missing += [
        (place, count - state.items[place].sealed)
        for place, count in act.opens
        if state.items[place].sealed < count
    ]
    return tuple(missing)


def supplied(state: State, act: Act) -> State:
    """Return the state with what an act opens and uses moved on."""
    lots = list(state.items)
    for place, count in act.opens:
        lot = lots[place]
        found = min(count, lot.sealed)
        lots[place] = lot._replace(sealed=lot.sealed - found, ready=lot.ready + found)
    for place, count in act.uses:
        lot = lots[place]
        if act.from_field[place]:
            found = min(count, lot.ready)
            lots[place] = lot._replace(ready=lot.ready - found, used=lot.used + found)
        else:
            found = min(count, lot.sealed)
            lots[place] = lot._replace(sealed=lot.sealed - found, used=lot.used + found)
    return state._replace(items=tuple(lots))


def field_lost(state: State) -> State:
    """Return the state with the field and whatever lies on it spoiled."""
    lots = tuple(
        Lot(lot.sealed, 0, lot.used, lot.spoiled + lot.ready) for lot in state.items
    )
    return state._replace(field="spoiled", items=lots)


def _is_unsterile(state: State, thing: str) -> bool:
    if thing not in UNSTERILE:
        return False
    if thing in ("line", "stitches", "skin"):
        return state.site not in PREPARED
    return thing != "hub" or state.hub not in ("dry", *OPEN_HUB)


def _touched(state: State, act: Act) -> State:
    for person in act.people:
        if person == "near":
            continue
        gloves = getattr(state, f"{person}_gloves")
        things = act.step.touches
        if gloves == "sterile" and any(_is_unsterile(state, t) for t in things):
            state = _worn(state, person, "spoiled")
        elif gloves == "none" and any(t in SOILING for t in things):
            state = _hands(state, person, "soiled")
        if gloves != "sterile" and "site" in things and state.site in PREPARED:
            state = state._replace(site="bared")
        if gloves != "sterile" and "field" in things and state.field == "open":
            state = field_lost(state)
    return state


def _worn(state: State, person: str, gloves: str) -> State:
    if person == "operator":
        return state._replace(operator_gloves=gloves)
    return state._replace(assistant_gloves=gloves)


def _hands(state: State, person: str, hands: str) -> State:
    if person == "operator":
        return state._replace(operator_hands=hands)
    return state._replace(assistant_hands=hands)


# ------------------------------------------------------------ hands, masks, gloves


def _hand_hygiene(state: State, act: Act, person: str) -> State:
    if getattr(state, f"{person}_gloves") != "none":
        return state
    return state if act.short else _hands(state, person, "clean")


def _face(state: State, person: str) -> State:
    """Return the state after a hand was at a face: bare hands and gloves suffer."""
    if getattr(state, f"{person}_gloves") == "none":
        return _hands(state, person, "soiled")
    return _worn(state, person, "spoiled")


def _mask(state: State, act: Act, person: str) -> State:
    del act
    if person in ("near", "child"):
        return state._replace(near_mask="on")
    state = _face(state, person)
    if person == "operator":
        return state._replace(operator_mask="on")
    return state._replace(assistant_mask="on")


def _unmask(state: State, act: Act, person: str) -> State:
    del act
    if person in ("near", "child"):
        return state._replace(near_mask="off")
    state = _face(state, person)
    if person == "operator":
        return state._replace(operator_mask="off")
    return state._replace(assistant_mask="off")


def _set_mask(state: State, act: Act, person: str) -> State:
    del act
    others = {"operator_mask": "on", "near_mask": "on"}
    if person == "operator":
        others = {"assistant_mask": "on", "near_mask": "on"}
    return with_facts(_face(state, person), others)


def _don(state: State, act: Act, person: str) -> State:
    sterile = "sterile-gloves" in act.step.objects
    clean_hands = getattr(state, f"{person}_hands") == "clean"
    kind = "clean"
    if sterile:
        kind = "sterile" if clean_hands else "spoiled"
    state = _worn(state, person, kind)
    if person == "operator":
        return state._replace(operator_size="own")
    return state._replace(assistant_size="own")


def _doff(state: State, act: Act, person: str) -> State:
    del act
    if getattr(state, f"{person}_gloves") == "none":
        return state
    state = _hands(_worn(state, person, "none"), person, "soiled")
    if state.holder == person:
        state = state._replace(holder="nobody")
    if state.pressing == person:
        state = state._replace(pressing="nobody", tract="open")
    return state


# ------------------------------------------------------------ room and field


def _clear_away(state: State, act: Act, person: str) -> State:
    del act, person
    return field_lost(state)._replace(field="none", drape="none")


def _ask(state: State, act: Act, person: str) -> State:
    del person
    asked = "family" in act.step.objects and "child" in act.step.objects
    return state._replace(agreement="given") if asked else state


def _comfort(state: State, act: Act, person: str) -> State:
    del act, person
    return state._replace(child="calm") if state.child == "distressed" else state


# ------------------------------------------------------------ line and site


def _hold(state: State, act: Act, person: str) -> State:
    if "tract" not in act.step.objects:
        return state._replace(holder=person)
    pressed = state.tract == "pressed"
    return state._replace(pressing=person) if pressed else state


def _wash(state: State, act: Act, person: str) -> State:
    del act, person
    if state.site not in BARE:
        return state
    return state._replace(soil="no", cream="none", site="bared")


def _numb(state: State, act: Act, person: str) -> State:
    del act, person
    if state.site not in BARE:
        return state
    return state._replace(cream="on", site="covered")


_AFTER_SCRUB = {"closed": "wet", "open": "open-wet", "spoiled": "open-wet"}
_AFTER_WAIT = {"wet": "waited", "open-wet": "open-waited"}
_AFTER_LOOK = {"waited": "dry", "open-waited": "open"}


def _scrub(state: State, act: Act, person: str) -> State:
    del person
    if act.short:
        return state
    if "hub" in act.step.objects:
        return state._replace(hub=_AFTER_SCRUB.get(state.hub, state.hub))
    if state.site not in BARE:
        return state
    residue = "yes" if act.leaves_residue else "no"
    state = state._replace(site="wet", residue=residue, edges="none", disc="none")
    return _run_down(state) if act.may_pool else state


def _run_down(state: State) -> State:
    """Return the state in which nobody has looked yet where the antiseptic ran."""
    drape = "spoiled" if state.drape == "laid" else state.drape
    return state._replace(pool="possible", drape=drape)


def _wait(state: State, act: Act, person: str) -> State:
    del person
    if "hub" in act.step.objects:
        return state._replace(hub=_AFTER_WAIT.get(state.hub, state.hub))
    if "cream" in act.step.objects:
        worked = state.cream == "on" and not act.short
        return state._replace(cream="worked") if worked else state
    if state.site == "rinsed" or (state.site == "wet" and not act.short):
        return state._replace(site="waited")
    return state


def _look_dry(state: State, act: Act, person: str) -> State:
    del person
    if "hub" in act.step.objects:
        return state._replace(hub=_AFTER_LOOK.get(state.hub, state.hub))
    return state._replace(site="dry") if state.site == "waited" else state


def _wipe(state: State, act: Act, person: str) -> State:
    del act, person
    if state.site not in BARE:
        return state
    site = "rinsed" if state.site in PREPARED else state.site
    return state._replace(residue="no", site=site)


def _unfasten(state: State, act: Act, person: str) -> State:
    del act
    holder = person if state.holder == "nobody" else state.holder
    return state._replace(securement="off", holder=holder)


def _loop(state: State, act: Act, person: str) -> State:
    del act
    lets_go = state.holder == person and state.securement == "on"
    return state._replace(holder="nobody") if lets_go else state


_COVERED = {"dry": "covered-again", "bared": "not-aseptic", "doubtful": "not-aseptic"}


def _cover(state: State, act: Act, person: str) -> State:
    del act, person
    site = state.site
    if site in BARE or site == "doubtful":
        site = _COVERED.get(site, "covered-wet")
    holder = "nobody" if state.securement == "on" else state.holder
    return state._replace(site=site, holder=holder)


_UNCOVERED = {"covered-wet": "wet", "covered-again": "dry", "not-aseptic": "bared"}


def _uncover(state: State, act: Act, person: str) -> State:
    del act, person
    return state._replace(site=_UNCOVERED.get(state.site, state.site))


def _guard_edges(state: State, act: Act, person: str) -> State:
    """Return the state after more barrier film: what lies on the exit point stays there."""
    del act, person
    return state if state.edges == "spoiled" else state._replace(edges="guarded")


def _press_edges(state: State, act: Act, person: str) -> State:
    del act, person
    closed = state.site == "doubtful"
    return state._replace(site="not-aseptic") if closed else state


def _cover_for_now(state: State, act: Act, person: str) -> State:
    del person
    if "hub" in act.step.objects:
        return state._replace(hub="wrapped") if state.hub in OPEN_HUB else state
    if state.site in BARE or state.site == "doubtful":
        return state._replace(site="not-aseptic")
    return state


def _feel(state: State, act: Act, person: str) -> State:
    del act, person
    return state._replace(site="bared") if state.site in PREPARED else state


EFFECTS: Mapping[str, Effect] = MappingProxyType(
    {
        **OF_THE_LINE,
        "hand-hygiene": _hand_hygiene,
        "mask": _mask,
        "unmask": _unmask,
        "set-mask": _set_mask,
        "don": _don,
        "doff": _doff,
        "clean-surface": sets(surface="ready"),
        "open-field": sets(field="open"),
        "lay-drape": sets(drape="laid"),
        "clear-away": _clear_away,
        "position": sets(posture="safe"),
        "ask": _ask,
        "comfort": _comfort,
        "say": sets(said="yes"),
        "hold": _hold,
        "measure": sets(length="known"),
        "peel": sets(site="bared"),
        "wash": _wash,
        "mop": sets(pool="none"),
        "scrub": _scrub,
        "wait": _wait,
        "look-dry": _look_dry,
        "wipe": _wipe,
        "guard-edges": _guard_edges,
        "press-edges": _press_edges,
        "place-disc": sets(disc="on"),
        "take-off-disc": sets(disc="none"),
        "loop": _loop,
        "unfasten": _unfasten,
        "fasten": sets(securement="on", holder="nobody"),
        "cover": _cover,
        "uncover": _uncover,
        "cover-for-now": _cover_for_now,
        "feel": _feel,
        "numb": _numb,
    }
)
"""What each verb does; a verb left out changes nothing here."""
