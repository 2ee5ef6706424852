"""The recovery steps after one break in sterile technique, step by step, to be read.

The same rows as the guide carries (`ways_of_branch.row_of`), turned from "at this step,
what can happen" to "this happened: what, at which step".
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise
from typing import TYPE_CHECKING, Any, NamedTuple

from lumenkeep.core.asepsis.effects import applied
from lumenkeep.core.asepsis.slipping import Slipping
from lumenkeep.core.asepsis.way_back import WaysBack
from lumenkeep.core.recovery.acts import ActBook
from lumenkeep.core.recovery.handful import often_of
from lumenkeep.core.recovery.ways_of_branch import row_of
from lumenkeep.errors import Fault, PolicyError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from lumenkeep.core.asepsis.branch import Branch
    from lumenkeep.core.asepsis.procedure import Bedside, Slip
    from lumenkeep.core.asepsis.way import WayBack
    from lumenkeep.core.rehearsal.stage import Stage

GRAVITY = {"leave": 0, "stop": 1, "way-back": 2}
OFTEN, GRAVE = "often", "grave"
ORDERS = (OFTEN, GRAVE)
NEXT, AGAIN = "the-next", "the-same"
"""In place of a step to go on with: the one after each, or each itself."""


@dataclass(frozen=True, slots=True)
class RecoveryText:
    """What is done after a slip.

    Attributes
    ----------
    ending
        "way-back", "stop" or "leave".
    acts
        In order, each as `acts.ActBook` writes it down.
    then
        Id of the step to go on with, `NEXT` or `AGAIN`; None at the end and where it
        stops.
    needs, lacking
        Label and count of what it takes from the extra supplies, and of what is not
        in the room, where that is why it stops.
    """

    ending: str
    acts: tuple[Mapping[str, Any], ...]
    then: str | None
    because: str
    needs: tuple[tuple[str, int], ...]
    lacking: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class AtSteps:
    """Steps, by id, one after the other, at which a slip asks for the same.

    ``unfinished`` is what it asks for where the step was not finished; None for the
    same.
    """

    steps: tuple[str, ...]
    told: RecoveryText
    unfinished: RecoveryText | None


@dataclass(frozen=True, slots=True)
class Alike:
    """Branches, by name, in which a slip at one step asks for the same."""

    procedure: str
    branches: tuple[str, ...]
    found: AtSteps


def slips_in_order(bedside: Bedside, day: date, order: str = OFTEN) -> tuple[Slip, ...]:
    """Return the slips, the most frequent first, or the gravest; else as they stand.

    Frequencies are the set's own assumptions; one that always ends in a call is graver
    than one with a way back.
    """
    often = often_of(bedside, day)
    places = {OFTEN: lambda s: (-often[s.id], GRAVITY[s.ending])}
    places[GRAVE] = lambda s: (GRAVITY[s.ending], -often[s.id])
    return tuple(sorted(bedside.slips, key=places[order]))


def found_by(slips: Iterable[Slip], words: str) -> tuple[Slip, ...]:
    """Return the slips whose texts hold every word, or its beginning, in any case."""
    wanted = words.casefold().split()
    return tuple(slip for slip in slips if all(_holds(slip, word) for word in wanted))


def _holds(slip: Slip, word: str) -> bool:
    texts = (slip.says, slip.redo, slip.keep, slip.stop, slip.because, slip.id)
    return word in " ".join(texts).casefold()


def can_happen(bedside: Bedside, branch: Branch, slip: Slip) -> bool:
    """Return whether a slip can happen at some step of a branch and spoils something."""
    slipping = Slipping(bedside, branch.setting)
    if slip not in slipping.slips:
        return False
    before = branch.start
    for act in branch.acts:
        after = applied(before, act)
        if slipping.at(act, before, after, slip) is not None:
            return True
        before = after
    return False


def by_steps(
    slip: str, done: Mapping[str, Any], bedside: Bedside, steps: Sequence[str]
) -> tuple[AtSteps, ...]:
    """Return what a slip asks for along a branch, steps that ask the same together.

    Parameters
    ----------
    slip
        Its id.
    done
        The branch's ways back, as `ways.work_out_ways` yields them.
    bedside
        Where the labels of items are.
    steps
        Ids of the branch's steps, in order.
    """
    in_order = list(dict.fromkeys(steps))
    after = dict(pairwise(in_order))
    told = [
        (step, _beside(_both(row, done["acts"], bedside), step, after.get(step)))
        for step in in_order
        for row in done["ways"].get(step, ())
        if row["slip"] == slip
    ]
    return tuple(
        AtSteps(tuple(step for step, _ in same), *both)
        for both, group in groupby(told, key=lambda one: one[1])
        if (same := list(group))
    )


def _beside(
    both: tuple[RecoveryText, RecoveryText | None], step: str, after: str | None
) -> tuple[RecoveryText, RecoveryText | None]:
    """Return both with the step to go on with as seen from the step itself."""
    words = {step: AGAIN}
    if after is not None:
        words[after] = NEXT
    told, instead = both
    return (
        _then(told, words),
        None if instead is None else _then(instead, words),
    )


def _then(told: RecoveryText, words: Mapping[str, str]) -> RecoveryText:
    """Return it with a word in place of a step; where it ends, it stays an end."""
    if told.then is None:
        return told
    return replace(told, then=words.get(told.then, told.then))


def _both(
    row: Mapping[str, Any], acts: Mapping[str, Any], bedside: Bedside
) -> tuple[RecoveryText, RecoveryText | None]:
    instead = row.get("unfinished")
    return (
        _told(row, acts, bedside),
        None if instead is None else _told(instead, acts, bedside),
    )


def _told(
    row: Mapping[str, Any], acts: Mapping[str, Any], bedside: Bedside
) -> RecoveryText:
    return RecoveryText(
        row["ending"],
        tuple(acts[name] for name in row["acts"]),
        row["then"],
        row["because"],
        _labelled(row["needs"], bedside),
        _labelled(row["lacking"], bedside),
    )


def _labelled(
    counts: Mapping[str, int], bedside: Bedside
) -> tuple[tuple[str, int], ...]:
    return tuple((bedside.items[item].label, count) for item, count in counts.items())


def written_as(step: str) -> set[str]:
    """Return the ids under which a step of a branch may be written in its procedure.

    What is done once for each lumen is written once, and counts on from the second.
    """
    return {step, re.sub(r"-\d+$", "", step)}


def find_slip(bedside: Bedside, name: str, step: str) -> Slip:
    """Return a slip by its id, where the step, too, is one of some procedure.

    Raises
    ------
    PolicyError
        ``policy-no-such-slip``, ``policy-no-such-step``: the set has none of that id.
    """
    slips = {slip.id: slip for slip in bedside.slips}
    steps = {one.id for each in bedside.procedures.values() for one in each.steps}
    faults = []
    if name not in slips:
        faults.append(
            Fault(
                "policy-no-such-slip",
                f"There is no slip '{name}' in this set.",
                name,
                "name one of: " + ", ".join(sorted(slips)),
            )
        )
    if not steps & written_as(step):
        faults.append(
            Fault(
                "policy-no-such-step",
                f"No procedure of this set has a step '{step}'.",
                step,
                "take an id that the procedure's file gives, as `rehearse --json`"
                " lists them",
            )
        )
    if faults:
        raise PolicyError(faults)
    return slips[name]


def over_branches(
    branches: Iterable[Branch], stage: Stage, slip: Slip, step: str
) -> Iterator[tuple[Branch, AtSteps | None]]:
    """Yield what a slip at a step asks for in each branch; None where it cannot be.

    Parameters
    ----------
    branches
        Branches that break no rule.
    stage
        The set, its procedures and the day.
    slip, step
        What happened, and the id of the step at which it did.
    """
    for branch in branches:
        ids = [act.step.id for act in branch.acts]
        found = _found(stage, branch, slip, ids.index(step)) if step in ids else None
        if found is None:
            yield branch, None
            continue
        book = ActBook(branch, stage.bedside)
        row = row_of(found.ways_back, found.way, book, found.spares)
        yield branch, AtSteps((step,), *_both(row, book.acts, stage.bedside))


class _Found(NamedTuple):
    ways_back: WaysBack
    way: WayBack
    spares: Mapping[str, int]


def _found(stage: Stage, branch: Branch, slip: Slip, place: int) -> _Found | None:
    """Return what follows; what is lacking is laid out beside, as a guide does."""
    spares = {one.item: one.count for one in stage.bedside.room}
    ways_back = WaysBack(stage.bedside, branch, spares)
    way = ways_back.way_back(place, slip)
    if way is None:
        return None
    instead = ways_back.unfinished(way)
    lacking = Counter(dict(way.lacking))
    if instead is not None:
        # The more of each, whichever of the two is asked for.
        lacking |= Counter(dict(instead.lacking))
    if lacking:
        spares = Counter(spares) + lacking
        ways_back = WaysBack(stage.bedside, branch, spares)
        way = ways_back.way_back(place, slip) or way
    return _Found(ways_back, way, spares)


def alike(found: Iterable[tuple[Branch, AtSteps | None]]) -> tuple[Alike, ...]:
    """Return the branches that ask for the same together, in the order found."""
    groups: list[tuple[str, AtSteps, list[str]]] = []
    for branch, answer in found:
        if answer is None:
            continue
        for procedure, same, names in groups:
            if (procedure, same) == (branch.procedure, answer):
                names.append(branch.name)
                break
        else:
            groups.append((branch.procedure, answer, [branch.name]))
    return tuple(Alike(one, tuple(names), same) for one, same, names in groups)
