"""The ways back and the spares of one branch, as plain values to keep and to carry.

They depend on the set, the procedure and its branch only, never on a child, so that
they are worked out once for all and kept (`guide.records.Ways`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lumenkeep.core.asepsis.branch import Setting, laid_out
from lumenkeep.core.asepsis.spares import spares_for
from lumenkeep.core.asepsis.way_back import WaysBack
from lumenkeep.core.recovery.acts import ActBook
from lumenkeep.core.recovery.handful import wants_of
from lumenkeep.core.recovery.second_slips import sealed_used, steady_step, ways_in_ways

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.asepsis.act import Act
    from lumenkeep.core.asepsis.branch import Branch
    from lumenkeep.core.asepsis.procedure import Bedside, Slip
    from lumenkeep.core.asepsis.way import WayBack

Said = dict[str, Any]
WORDS_ONLY = ("worn",)
"""Facts that change what a step says, and never what is done after a slip."""
SPARES_SHARE = 0.5
"""Share of the work that the spares are, roughly; only the progress shown rests on it."""


@dataclass(frozen=True, slots=True)
class BranchKey:
    """What a branch's ways back depend on, in plain values that go into JSON.

    Attributes
    ----------
    facts, seconds, swabs, hand_rub
        Of the branch's setting (s, count).
    often
        Assumed count of each slip in 1000 steps at which it can happen.
    """

    procedure: str
    facts: Mapping[str, list[str]]
    seconds: Mapping[str, int]
    swabs: int
    hand_rub: int
    often: Mapping[str, int]

    @classmethod
    def of(cls, branch: Branch, often: Mapping[str, int]) -> BranchKey:
        """Return the question about a branch."""
        setting = branch.setting
        return cls(
            branch.procedure,
            {
                fact: sorted(words)
                for fact, words in sorted(setting.facts.items())
                if fact not in WORDS_ONLY
            },
            dict(sorted(setting.seconds.items())),
            setting.swabs,
            setting.hand_rub,
            dict(sorted(often.items())),
        )

    def branch(self, bedside: Bedside) -> Branch:
        """Return the branch asked about."""
        facts = {fact: frozenset(words) for fact, words in self.facts.items()}
        setting = Setting(facts, self.seconds, self.swabs, self.hand_rub)
        return laid_out(bedside.procedures[self.procedure], bedside, setting)


def work_out_ways(
    question: BranchKey, bedside: Bedside, *, second: bool = False
) -> Iterator[Said]:
    """Yield how far the work is, what was found, and what second slips ask.

    Parameters
    ----------
    second
        Whether to go on to slips that happen during a way back.

    Yields
    ------
    dict
        Each has one key: ``progress`` (0 to 1); ``done``, with ``acts``, ``slips``,
        ``ways``, ``stop`` and ``spares`` as the bundle carries them, and ``least`` and
        ``wants``, from which a handful of the spares is chosen; ``more``, with
        ``acts`` anew and ``ways_in_ways``.
    """
    branch = question.branch(bedside)
    yield {"progress": 0.0}
    fewest = spares_for(bedside, branch, dict(question.often))
    least = dict(fewest.items)
    spares = _laid_out(bedside, branch, least)
    ways_back = WaysBack(bedside, branch, spares)
    book = ActBook(branch, bedside)
    found: list[WayBack] = []
    for place in range(len(branch.acts)):
        yield {"progress": SPARES_SHARE + (1 - SPARES_SHARE) * place / len(branch.acts)}
        found += (
            way
            for slip in ways_back.slips
            if (way := ways_back.way_back(place, slip)) is not None
        )
    ways: dict[str, list[dict[str, Any]]] = {}
    for way in found:
        ways.setdefault(way.step, []).append(row_of(ways_back, way, book, spares))
    at = _stops_by_step(ways_back, book)
    for way in found:
        if way.ending == "way-back":
            stop = [
                book.name(act) for act in ways_back.left_safely(way.start, way.slip)
            ]
            row = next(r for r in ways[way.step] if r["slip"] == way.slip.id)
            if stop != at[way.step]:
                row["stop"] = stop
    stop = [book.name(act) for act in _stop_acts(branch, bedside)]
    done = {
        "spares": spares,
        "least": least,
        "wants": wants_of(fewest.wants, least),
        "slips": {slip.id: _slip(slip) for slip in ways_back.slips},
        "ways": ways,
        "stop": {"acts": stop, "at": at},
    }
    yield {"done": {**done, "acts": dict(book.acts)}}
    if second:
        more = ways_in_ways(ways_back, found, book)
        yield {"more": {"ways_in_ways": more, "acts": book.acts}}


def _slip(slip: Slip) -> dict[str, Any]:
    return {
        "says": slip.says,
        "number": slip.number,
        "because": slip.because,
        "source": slip.source,
        "redo": slip.redo,
        "keep": slip.keep,
    }


def _laid_out(
    bedside: Bedside, branch: Branch, least: Mapping[str, int]
) -> dict[str, int]:
    """Return what lies there beyond what the steps use: the set's, and the least."""
    found = {
        spare.item: spare.count for spare in bedside.room if spare.item in branch.items
    }
    for item, count in least.items():
        found[item] = max(count, found.get(item, 0))
    return found


def _stops_by_step(ways_back: WaysBack, book: ActBook) -> dict[str, list[str]]:
    """Return what is done before a child is left at each step, done or not yet done."""
    found = {}
    for place, act in enumerate(ways_back.branch.acts):
        states = ways_back.states[place : place + 2]
        ways = [ways_back.left_safely(state) for state in states]
        found[act.step.id] = [book.name(one) for one in max(ways, key=len)]
    return found


def _stop_acts(branch: Branch, bedside: Bedside) -> list[Act]:
    moves = {move.id: move for move in bedside.moves}
    return [
        branch.maker.act(moves[name])
        for name in ("say", "cover-and-call", "call-for-help")
    ]


def row_of(
    ways_back: WaysBack, found: WayBack, book: ActBook, spares: Mapping[str, int]
) -> dict[str, Any]:
    """Return one way back as the bundle carries it.

    Where the slip came before the step was finished, and that asks for something else,
    ``unfinished`` says what.
    """
    row = _row(ways_back, found, book, spares)
    instead = ways_back.unfinished(found)
    if instead is not None and _differs(found, instead):
        row["unfinished"] = _row(ways_back, instead, book, spares)
    return row


def _differs(found: WayBack, instead: WayBack) -> bool:
    """Return whether an unfinished step asks for more than its way and itself anew."""
    return (instead.ending, instead.acts) != (found.ending, found.acts)


def _row(
    ways_back: WaysBack, found: WayBack, book: ActBook, spares: Mapping[str, int]
) -> dict[str, Any]:
    acts = ways_back.branch.acts
    is_back = found.ending == "way-back"
    then = acts[found.resumes].step.id if found.resumes < len(acts) else None
    return {
        "slip": found.slip.id,
        "ending": found.ending,
        "acts": [book.name(act) for act in found.acts],
        "then": then if is_back else None,
        "cost": found.cost._asdict() if is_back else None,
        "stands": [
            {"step": kept.step, "because": kept.because}
            for kept in ways_back.stands(found)
        ]
        if is_back
        else [],
        "needs": _needs(ways_back, found, spares) if is_back else {},
        "lacking": dict(found.lacking),
        "steady": steady_step(ways_back, found) if is_back else None,
        "because": found.because,
    }


def _needs(
    ways_back: WaysBack, found: WayBack, spares: Mapping[str, int]
) -> dict[str, int]:
    """Return the spares that a way back takes (count by item)."""
    items = ways_back.branch.items
    return {
        items[spot]: count - planned
        for spot, count in sorted(sealed_used(ways_back, found).items())
        if count
        > (planned := found.start.items[spot].sealed - spares.get(items[spot], 0))
    }
