"""What to do after every slip of one branch, and the spares, as plain values to carry.

The guide at the bedside is handed these with the plan: nothing is searched there.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from lumenkeep.asepsis.spares import spares_for
from lumenkeep.asepsis.way_back import Recovery

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.asepsis.act import Act
    from lumenkeep.asepsis.branch import Branch
    from lumenkeep.asepsis.way_back import WayBack
    from lumenkeep.services.rehearse import Stage


def ways_back_of(
    stage: Stage, branch: Branch, spares: Mapping[str, int] | None = None
) -> list[dict[str, Any]]:
    """Return a row for every slip at every step at which it can happen.

    Parameters
    ----------
    stage, branch
        The set with its procedures and day, and one of its branches.
    spares
        Pieces laid out beyond what the steps use, by item, as `spares_of` names them;
        what the set says lies in the room where None.

    Returns
    -------
    list of dict
        Each row has the slip, the step, how it ends (``way-back``, ``stop`` or
        ``leave``), the acts in order, the step that comes next, the cost (bare time
        in s, pieces, acts), what is not repeated and what of it still holds, and why.
    """
    recovery = Recovery(stage.bedside, branch, spares)
    return [_row(recovery, found) for found in recovery.table()]


def _row(recovery: Recovery, found: WayBack) -> dict[str, Any]:
    acts = recovery.branch.acts
    done = {act.step.id for act in acts[: found.resumes]}
    after = acts[found.resumes].step.id if found.resumes < len(acts) else None
    return {
        "slip": found.slip.id,
        "number": found.slip.number,
        "says": found.slip.says,
        "step": found.step,
        "ending": found.ending,
        "acts": [_act(recovery, act, done) for act in found.acts],
        "then": after if found.ending == "way-back" else None,
        "cost": found.cost._asdict() if found.ending == "way-back" else None,
        "stands": [
            {"step": kept.step, "because": kept.because}
            for kept in recovery.stands(found)
        ]
        if found.ending == "way-back"
        else [],
        "lacking": dict(found.lacking),
        "keep": found.slip.keep,
        "because": found.because,
        "source": found.slip.source,
    }


def _act(recovery: Recovery, act: Act, done: set[str]) -> dict[str, Any]:
    items = recovery.branch.items
    return {
        "step": act.step.id,
        "actor": act.step.actor,
        "verb": act.step.verb,
        "says": act.step.says,
        "seconds": act.seconds or None,
        "opens": {items[place]: count for place, count in act.opens},
        "repeats": act.step.id in done,
        "because": act.step.because,
    }


def spares_of(stage: Stage, branch: Branch) -> dict[str, Any]:
    """Return the smallest set of spares of a branch, and what each further one buys.

    Frequencies are the set's own; the shipped ones are assumptions. ``slips`` are those
    that want an item, the most frequent first.
    """
    numbers = stage.bedside.numbers
    often = {}
    for slip in stage.bedside.slips:
        value = numbers[slip.often].on(stage.day)
        often[slip.id] = int(value.value) if value else 0  # type: ignore[arg-type]  # a count
    found = spares_for(stage.bedside, branch, often)
    wanting: dict[str, Counter[str]] = {}
    for want in found.wants:
        for item, _ in want.wants:
            wanting.setdefault(item, Counter())[want.slip] += want.often
    return {
        "items": dict(found.items),
        "slips": {
            item: [slip for slip, _ in counts.most_common()]
            for item, counts in wanting.items()
        },
        "order": [
            {"items": dict(further.items), "share": further.share}
            for further in found.order
        ],
        "assumed": True,
    }
