"""Whether slips, items, the room and the rules say what is published."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.kept.facts import (
    all_imply,
    as_often,
    asks_for_all,
    duties_lost,
    in_order,
)
from lumenkeep.core.asepsis.kept.words import act, facts, plain
from lumenkeep.core.asepsis.words import VERBS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.asepsis.head import ProcedureHead, ProcedureKind
    from lumenkeep.core.asepsis.procedure import (
        AsepsisRule,
        Effect,
        Item,
        Needed,
        SafeEnding,
        Slip,
        Spare,
    )

ANY_STEP = "any step"


def of_slip(slip: Slip, own: Slip) -> Iterator[str]:
    """Yield what a set's slip no longer says of the published one."""
    yield from _where_it_happens(slip, own)
    yield from _what_follows(slip, own)


def _where_it_happens(slip: Slip, own: Slip) -> Iterator[str]:
    lost = [verb for verb in slip.verbs if verb not in own.verbs]
    if own.verbs and (lost or not slip.verbs):
        told = " or ".join(VERBS[verb] for verb in lost) or ANY_STEP
        yield f"can no longer happen at: {told}"
    if not as_often(slip.given, own.given):
        yield f"can no longer happen with {facts(slip.given)}"
    if own.often != slip.often:
        yield f"happens as often as {plain([own.often])}, not {plain([slip.often])}"


def _what_follows(slip: Slip, own: Slip) -> Iterator[str]:
    if own.effects != slip.effects:
        yield (
            f"spoils otherwise: published {_effects(slip.effects)}; "
            f"here {_effects(own.effects)}"
        )
    if own.ending != slip.ending:
        yield f"ended in “{plain([slip.ending])}”, here in “{plain([own.ending])}”"
    lost_duties = duties_lost(slip.must, own.must)
    if lost_duties:
        told = "; ".join(act(duty.on) for duty in lost_duties)
        yield f"no longer asks of the way back: {told}"
    if not all_imply(slip.stops, own.stops):
        yield f"no longer stops with {facts(slip.stops)}"
    if slip.twice and own.twice != slip.twice:
        yield "no longer stops when it happens twice"
    if not in_order(slip.first, own.first):
        yield f"no longer does first, in this order: {plain(slip.first)}"


def _effects(effects: tuple[Effect, ...]) -> str:
    told = []
    for one in effects:
        sets = [f"{fact.replace('_', ' ')} {word}" for fact, word in one.sets]
        sets += [f"loses {one.loses}"] if one.loses else []
        given = f" (with {facts(one.given)})" if one.given else ""
        told.append(f"{', '.join(sets)}{given}")
    return "; ".join(told) or "nothing"


def of_item(item: Item, own: Item) -> Iterator[str]:
    """Yield what a set's item no longer says of the published one."""
    if own.place != item.place:
        yield f"lay ready as “{item.place}”, here as “{own.place}”"
    if own.supply != item.supply:
        yield f"was the plan's {_or_none(item.supply)}, here {_or_none(own.supply)}"
    if set(own.also) != set(item.also):
        yield f"was laid out for {plain(item.also)} too, here for {plain(own.also)}"
    if item.size_of and own.size_of != item.size_of:
        yield f"had to fit the {item.size_of}, here {_or_none(own.size_of)}"


def _or_none(word: str | None) -> str:
    return plain([word]) if word else "nothing"


def of_rule(rule: AsepsisRule, own: AsepsisRule) -> Iterator[str]:
    """Yield what a set's rule of asepsis no longer asks of the published one."""
    if not asks_for_all(rule.on, own.on):
        yield f"was asked of “{act(rule.on)}”, here of “{act(own.on)}”"
    if not as_often(rule.given, own.given):
        yield f"was asked with {facts(rule.given)}, here with {facts(own.given)}"
    if not all_imply(own.needs, rule.needs):
        yield f"asked for {_asked(rule)}, here for {_asked(own)}"


def _asked(rule: AsepsisRule | SafeEnding) -> str:
    return facts(rule.needs) if rule.needs else "it never to be done"


def of_needed(needed: Needed, own: Needed) -> Iterator[str]:
    """Yield what a set no longer asks of a step that must not be forgotten."""
    if not asks_for_all(own.on, needed.on):
        yield f"asked for “{act(needed.on)}”, here for “{act(own.on)}”"
    for word, was, is_ in (
        ("after", needed.after, own.after),
        ("before", needed.before, own.before),
    ):
        if dict(was) != dict(is_):
            yield f"stood {word} “{act(was)}”, here {word} “{act(is_)}”"

    if (needed.every and not own.every) or own.times != needed.times:
        yield "is asked for less often"


def of_head(head: ProcedureHead, own: ProcedureHead) -> Iterator[str]:
    """Yield what a set no longer asks of the head of a procedure."""
    for word, was, is_ in (
        ("start", head.starts, own.starts),
        ("end", head.ends, own.ends),
    ):
        if was and not (is_ and all_imply(is_, was)):
            yield f"had to {word} with {facts(was)}, here with {facts(is_)}"
    mine = dict(own.asks)
    lost = [
        f"{fact} {word}"
        for fact, words in head.asks
        for word in words
        if word not in mine.get(fact, ())
    ]
    lost += [fact for fact in head.walked if fact not in own.walked]
    if lost:
        yield f"no longer asks for {', '.join(lost)}"
    if (own.task, own.does) != (head.task, head.does):
        does = "; then ".join(act(one) for one in head.does)
        yield f"counted for {_or_none(head.task)} by “{does}”, here otherwise"
    if head.may_reset and not (own.may_reset and _among(own, head)):
        yield f"could count for {plain(head.may_reset)} only, here for others too"


def _among(own: ProcedureHead, head: ProcedureHead) -> bool:
    return set(own.may_reset) <= set(head.may_reset)


def of_kind(kind: ProcedureKind, own: ProcedureKind) -> Iterator[str]:
    """Yield where a procedure is no longer held to be what its acts make it."""
    if (own.procedure, dict(own.without)) != (kind.procedure, dict(kind.without)):
        yield "is said otherwise"
    if not asks_for_all(kind.on, own.on):
        yield f"was whatever does “{act(kind.on)}”, here “{act(own.on)}”"


def of_safe(safe: SafeEnding, own: SafeEnding) -> Iterator[str]:
    """Yield what a set no longer asks of how a child may be left."""
    if not as_often(safe.given, own.given):
        yield f"was asked with {facts(safe.given)}, here with {facts(own.given)}"
    if not all_imply(own.needs, safe.needs):
        yield f"asked for {_asked(safe)}, here for {_asked(own)}"
    if not in_order(safe.does, own.does):
        yield f"no longer does: {plain(safe.does)}"


def of_spare(spare: Spare, own: Spare) -> Iterator[str]:
    """Yield where fewer of something lie in the room than published."""
    if own.count < spare.count:
        yield f"lay there {spare.count} times, here {own.count}"
