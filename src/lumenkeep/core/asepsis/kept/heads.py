"""Whether the head of a procedure says what is published: where it starts and ends."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.kept.facts import all_imply
from lumenkeep.core.asepsis.kept.words import facts, plain

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.asepsis.procedure import Procedure


def lost_of_head(shipped: Procedure, own: Procedure) -> Iterator[tuple[str, str]]:
    """Yield the part of a head that is not kept, and what is said otherwise of it."""
    for part, lost in (
        ("vary", _vary(shipped, own)),
        ("repeat", _repeat(shipped, own)),
        ("starts", _starts(shipped, own)),
        ("ends", _ends(shipped, own)),
        ("resets", _resets(shipped, own)),
    ):
        if lost:
            yield part, lost


def _vary(shipped: Procedure, own: Procedure) -> str:
    mine = dict(own.vary)
    lost = [
        f"{fact} {plain(gone)}"
        for fact, words in shipped.vary
        if (gone := [word for word in words if word not in mine.get(fact, ())])
    ]
    return f"is no longer made for {'; '.join(lost)}" if lost else ""


def _repeat(shipped: Procedure, own: Procedure) -> str:
    asked, mine = shipped.repeat, own.repeat
    if asked is None:
        return ""
    was = f"{asked.first} to {asked.last} were done once for each of {asked.each}"
    if mine is None or mine.each != asked.each:
        return f"{was}, here once in all"
    again = _between(own, mine.first, mine.last)
    there = {step.id for step in own.steps}
    once = [
        id_
        for id_ in _between(shipped, asked.first, asked.last)
        if id_ in there and id_ not in again
    ]
    return f"{was}; here {', '.join(once)} once in all" if once else ""


def _between(procedure: Procedure, first: str, last: str) -> list[str]:
    ids = [step.id for step in procedure.steps]
    end = len(ids) - ids[::-1].index(last)
    return list(dict.fromkeys(ids[ids.index(first) : end]))


def _starts(shipped: Procedure, own: Procedure) -> str:
    was, is_ = dict(shipped.starts), dict(own.starts)
    differs = [
        f"{fact.replace('_', ' ')} {was.get(fact, 'not said')}, "
        f"here {is_.get(fact, 'not said')}"
        for fact in {**was, **is_}
        if was.get(fact) != is_.get(fact)
    ]
    return f"starts otherwise: published {'; '.join(differs)}" if differs else ""


def _ends(shipped: Procedure, own: Procedure) -> str:
    if not shipped.ends or (own.ends and all_imply(own.ends, shipped.ends)):
        return ""
    was = dict(shipped.ends[0])
    lost = [
        (fact, words)
        for fact, words in was.items()
        if any(not dict(row).get(fact, words | {""}) <= words for row in own.ends)
    ]
    told = facts((tuple(lost),)) if lost and own.ends else facts(shipped.ends)
    return f"may end without: {told}"


def _resets(shipped: Procedure, own: Procedure) -> str:
    more = [task for task in own.resets if task not in shipped.resets]
    return f"counts for {plain(more)} as well, which it does not do" if more else ""
