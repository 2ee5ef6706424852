"""Ways back: as cheap as a plain search of every order, and right by the check itself."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache, reduce
from typing import TYPE_CHECKING, Any

import pytest
from tests.asepsis_faults.orders import branch_of, stage

from lumenkeep.core.asepsis.check import walk
from lumenkeep.core.asepsis.effects import applied, lacking
from lumenkeep.core.asepsis.state import is_bare, with_facts
from lumenkeep.core.asepsis.way_back import WaysBack
from lumenkeep.core.rehearsal.rehearse import named_branches, rehearse
from lumenkeep.core.rehearsal.rehearse_slips import rehearse_ways

if TYPE_CHECKING:
    from lumenkeep.core.asepsis.act import Act
    from lumenkeep.core.asepsis.branch import Branch
    from lumenkeep.core.asepsis.state import State
    from lumenkeep.core.asepsis.way import WayBack

READY = {
    "operator_mask": "on",
    "assistant_mask": "on",
    "near_mask": "on",
    "operator_hands": "clean",
    "assistant_hands": "clean",
    "surface": "ready",
    "field": "open",
    "posture": "safe",
    "length": "known",
}


@dataclass(frozen=True)
class Small:
    """A few steps of a procedure, the facts they start from, and a small room."""

    procedure: str
    keep: tuple[str, ...]
    starts: dict[str, str]
    ends: dict[str, str]
    moves: tuple[str, ...]
    spares: dict[str, int]
    facts: dict[str, str]


GLOVES = ("operator-gloves-off", "operator-hands", "operator-sterile-gloves")
SMALL = {
    "gloves, scrub, cover": Small(
        "dressing-change",
        ("D2", "D10", "D13", "D14", "D15", "D18"),
        {**READY, "site": "bared"},
        {"site": "covered-again"},
        ("say", *GLOVES, "new-field", "mask-from-behind", "assistant-hands", "cover-off"),
        {"sterile-gloves": 1, "sterile-field": 1, "antiseptic-swab": 1, "clear-film": 1},
        {"holds": "sticking-unguarded"},
    ),
    "iodine, saline, cover": Small(
        "dressing-change",
        ("D2", "D10", "PVI13", "D14", "D15", "PVI15", "PVI16a", "PVI16b", "D18"),
        {**READY, "site": "bared"},
        {"site": "covered-again", "residue": "no"},
        ("say", *GLOVES, "assistant-hands", "cover-off"),
        {"sterile-gloves": 1, "sterile-saline": 1, "sterile-gauze": 4, "antiseptic-swab": 1},
        {"agent": "povidone-iodine", "holds": "sticking-unguarded"},
    ),
    "securement": Small(
        "dressing-change",
        ("D2", "D10", "D13", "D14", "D15", "SEC17", "D18"),
        {**READY, "site": "bared", "securement": "off", "holder": "assistant"},
        {"site": "covered-again", "securement": "on", "holder": "nobody"},
        ("say", *GLOVES, "tape-outside", "assistant-holds", "operator-takes-line", "assistant-hands"),
        {"sterile-gloves": 1, "outer-tape": 1, "antiseptic-swab": 1},
        {"securement": "change", "holds": "sticking-unguarded"},
    ),
    "open hub": Small(
        "connector-change",
        ("N5", "N6a", "N6b", "N6c", "N7", "N9", "N10a", "N10b", "N10c", "N11", "N12"),
        {**READY, "field": "none", "operator_gloves": "clean"},
        {"hub": "closed", "lumen": "locked"},
        ("say", "clamp-now", "air-back", "hub-scrub-again", "hub-wait-again", "hub-look-again", "comfort-child", "assistant-hands"),
        {"hub-wipe": 1, "connector": 1, "saline-syringe": 1},
        {},
    ),
    "port needle": Small(
        "port-needle-change",
        ("I2", "I11", "I12a", "I12b", "I12c", "I13", "I14", "I15"),
        {**READY, "site": "bared", "needle": "out", "part": "dry", "clamp": "on", "lumen": "locked", "operator_gloves": "sterile"},
        {"site": "covered-again", "needle": "in"},
        ("say", *GLOVES, "needle-out-again", "assistant-hands", "comfort-child"),
        {"sterile-gloves": 1, "port-needle": 1, "antiseptic-swab": 1, "saline-syringe": 2, "connector": 1},
        {},
    ),
    "pull and press": Small(
        "line-removal",
        ("R4.2", "R11a", "R11b", "R11c", "R12", "R13", "R14", "R16"),
        {**READY, "site": "bared", "clamp": "on", "operator_gloves": "sterile"},
        {"tract": "sealed", "site": "covered-again"},
        ("say", *GLOVES, "press-bleeding", "lay-flat", "assistant-hands", "new-field"),
        {"pressing-gauze": 1, "antiseptic-swab": 1, "sterile-gloves": 1, "sterile-field": 1},
        {},
    ),
}  # fmt: skip


def small_branch(small: Small) -> Branch:
    """Return the few steps, with a scrub of one swab so that every order can be tried."""
    whole = branch_of(small.procedure, **small.facts)
    setting = replace(whole.setting, swabs=1)
    here = stage()
    procedure = replace(
        here.procedure(small.procedure),
        steps=tuple(
            s
            for s in here.procedure(small.procedure).steps
            if s.id in small.keep and setting.holds(s.when)
        ),
        starts=tuple(small.starts.items()),
        ends=(tuple((f, frozenset({w})) for f, w in small.ends.items()),),
        resets=(),
    )
    from lumenkeep.core.asepsis.branch import laid_out

    # A few steps are no procedure: they are not held to how one ends.
    branch = laid_out(procedure, replace(here.bedside, heads=()), setting)
    return replace(branch, start=with_facts(branch.start, small.starts))


@lru_cache
def ways_back(name: str) -> WaysBack:
    small = SMALL[name]
    bedside = stage().bedside
    moves = tuple(
        m
        for m in bedside.moves
        if m.id in (*small.moves, "cover-and-call", "call-for-help")
    )
    return WaysBack(replace(bedside, moves=moves), small_branch(small), small.spares)


class Brute:
    """Every state that can be reached, act by act and pack by pack, with its least cost.

    It shares with the engine only what an act does and what the rules say.
    """

    def __init__(self, name: str) -> None:
        self.found = ways_back(name)
        self.branch = self.found.branch
        moves = [self.found._moves[m] for m in SMALL[name].moves if m != "say"]
        maker = self.branch.maker
        opening = self.found.room.opening
        self.packs = [
            maker.act(opening, ((place, 1),))
            for place, on_field in enumerate(maker.from_field)
            if on_field and self.found.states[0].items[place].sealed
        ]
        self.moves = moves

    def cheapest(self, found: WayBack) -> tuple[int, int, int] | None:
        """Return the least cost of any order of acts and packs, or None.

        Whatever the slip asks for must have been done, by an act or by a step after it.
        """
        steps = [a for a in self.branch.acts[: found.resumes + 1] if not a.opens]
        once = ("peel", "pull", "open-lumen")
        usable = [
            *(a for a in steps if a.step.verb not in once and not a.step.once),
            *self.moves,
        ]
        said = applied(found.start._replace(owes=()), self.found._moves["say"])
        start = (said, found.start.owes)
        best: dict[Any, tuple[int, int, int]] = {start: (0, 0, 1)}
        waiting = [start]
        while waiting:
            state, owed = waiting.pop()
            for act in [*usable, *self.packs]:
                left = _still_owed(owed, act)
                after = self._after(state, act, does_some=left != owed)
                if after is None:
                    continue
                cost = _sum(best[state, owed], state, act)
                if (after, left) not in best or cost < best[after, left]:
                    best[after, left] = cost
                    waiting.append((after, left))
        acts = self.branch.acts[found.resumes :]
        rest = replace(self.branch, acts=acts)
        by_cost = sorted(best.items(), key=lambda pair: pair[1])
        return next(
            (
                cost
                for (state, owed), cost in by_cost
                if not reduce(_still_owed, acts, owed) and walk(rest, state).is_sound
            ),
            None,
        )

    def _after(self, state: State, act: Act, *, does_some: bool) -> State | None:
        if any(test.is_broken(state) for test in act.tests) or lacking(state, act):
            return None
        after = applied(state, act)
        changes = after[:-1] != state[:-1] or act.opens or does_some
        return after if changes else None


def _still_owed(owed: Any, act: Act) -> Any:
    """Return what is owed after an act, read from the slips' own words."""
    left = []
    for duties in owed:
        asked = duties[0].on
        step = act.step
        done = (
            step.verb in asked.get("verb", (step.verb,))
            and step.actor in asked.get("actor", (step.actor,))
            and ("objects" not in asked or set(asked["objects"]) & set(step.objects))
        )
        left.append(duties[1:] if done else duties)
    return tuple(duties for duties in left if duties)


def _sum(cost: tuple[int, int, int], state: State, act: Act) -> tuple[int, int, int]:
    in_hand = sum(n for place, n in act.uses if not act.from_field[place])
    opened = sum(n for _, n in act.opens)
    return (
        cost[0] + (act.seconds if is_bare(state) and not act.opens else 0),
        cost[1] + in_hand + opened,
        cost[2] + (0 if act.opens else 1),
    )


@pytest.mark.timeout(60)
@pytest.mark.parametrize("name", list(SMALL))
def test_no_order_of_acts_is_cheaper_than_the_way_back(name: str) -> None:
    brute = Brute(name)
    rows = [w for w in brute.found.table() if brute.found.may_mend(w.slip, w.start)]

    assert rows
    seen: dict[Any, Any] = {}
    for row in rows:
        key = (row.resumes, row.start)
        if key not in seen:
            seen[key] = brute.cheapest(row)
        wanted = tuple(row.cost) if row.ending == "way-back" else None
        assert seen[key] == wanted, (row.step, row.slip.id)


def all_branches() -> list[tuple[str, str, str]]:
    return [
        (name, procedure.id, branch.name)
        for name in ("quillmere",)
        for procedure in stage(name).bedside.procedures.values()
        for branch in named_branches(procedure, stage(name))
    ]


@pytest.mark.timeout(30)
@pytest.mark.parametrize(("set_name", "procedure", "branch"), all_branches())
def test_every_slip_has_a_way_back_that_passes_the_check_or_a_stop_that_is_explained(
    set_name: str, procedure: str, branch: str
) -> None:
    here = stage(set_name)
    [found] = [
        b for b in named_branches(here.procedure(procedure), here) if b.name == branch
    ]
    ways = WaysBack(here.bedside, found)
    rows = list(ways.table())

    assert rows
    for row in rows:
        if row.ending == "way-back":
            assert ways.breaks(row) == (), (row.step, row.slip.id)
            assert ways.owed(row) == (), (row.step, row.slip.id)
        else:
            assert row.because
            assert ways.is_explained(row), (row.step, row.slip.id)
            assert ways.unsafe(row) == (), (row.step, row.slip.id)


@pytest.mark.timeout(60)
@pytest.mark.parametrize(
    ("set_name", "first"), [("quillmere", 5), ("us-guideline", 11)]
)
def test_branches_without_a_name_have_them_too(set_name: str, first: int) -> None:
    """Every 150th branch here; ``make ways-back`` looks at all of them."""
    here = stage(set_name)
    walked = rehearse(here.procedure("dressing-change"), here).branches
    branches = [one.branch for one in walked[first::150]]
    found = list(rehearse_ways(branches, here))

    assert len(found) == len(branches) >= 2
    for one in found:
        assert one.faults == ()
        assert all(count for _, count in one.endings)


@pytest.mark.timeout(30)
def test_with_spares_enough_only_what_always_stops_stops() -> None:
    here = stage()
    plenty = dict.fromkeys(here.bedside.items, 9)
    longest = max(
        named_branches(here.procedure("dressing-change"), here),
        key=lambda branch: len(branch.acts),
    )
    for row in WaysBack(here.bedside, longest, plenty).table():
        assert row.ending == row.slip.ending, (row.step, row.slip.id)


@lru_cache
def plain() -> WaysBack:
    here = stage()
    return WaysBack(
        here.bedside, named_branches(here.procedure("dressing-change"), here)[0]
    )


@pytest.mark.timeout(30)
def test_a_way_back_begins_by_saying_so() -> None:
    for row in plain().table():
        assert row.acts[0].step.verb == "say"


def test_what_is_not_repeated_says_what_still_holds() -> None:
    ways = plain()
    place = [a.step.id for a in ways.branch.acts].index("D14")
    [slip] = [s for s in ways.slips if s.id == "glove-touches-unsterile"]
    row = ways.way_back(place, slip)

    assert row is not None
    assert [a.step.id for a in row.acts] == [
        "say",
        "operator-gloves-off",
        "operator-hands",
        "operator-sterile-gloves",
    ]
    kept = {s.step: s.because for s in ways.stands(row)}
    assert kept["D5"] == "still length known"
    assert "D10" not in kept
    assert kept["D14"] == "still site waited"


def test_the_cost_counts_bare_seconds_then_pieces_then_acts() -> None:
    ways = plain()
    place = [a.step.id for a in ways.branch.acts].index("D14")
    [slip] = [s for s in ways.slips if s.id == "glove-touches-unsterile"]
    row = ways.way_back(place, slip)

    assert row is not None
    assert tuple(row.cost) == (20, 1, 4)


SECOND = (
    "glove-touches-unsterile",
    "swab-returns",
    "open-hub-touched",
    "child-distressed",
)


@pytest.mark.timeout(60)
@pytest.mark.parametrize("name", ["gloves, scrub, cover", "open hub"])
def test_a_slip_during_a_way_back_has_the_cheapest_way_back_of_its_own(
    name: str,
) -> None:
    brute = Brute(name)
    ways = brute.found
    slips = [s for s in ways.slips if s.id in SECOND]
    rows = [
        again
        for first in ways.table()
        if first.ending == "way-back"
        for at in range(1, len(first.acts))
        for slip in slips
        if (again := ways.again(first, at, slip)) is not None
    ]

    assert {row.ending for row in rows} == {"way-back", "stop"}
    seen: dict[Any, Any] = {}
    for row in rows:
        assert row.ending == "stop" or ways.breaks(row) == ()
        key = (row.resumes, row.start)
        if key not in seen:
            seen[key] = brute.cheapest(row)
        wanted = tuple(row.cost) if row.ending == "way-back" else None
        assert seen[key] == wanted, (row.step, row.slip.id)


@pytest.mark.timeout(60)
@pytest.mark.parametrize("name", ["gloves, scrub, cover", "securement"])
def test_an_unfinished_step_has_the_cheapest_way_back_to_itself(name: str) -> None:
    brute = Brute(name)
    ways = brute.found
    rows = [amid for row in ways.table() if (amid := ways.unfinished(row)) is not None]

    assert "way-back" in {row.ending for row in rows}
    seen: dict[Any, Any] = {}
    for row in rows:
        assert row.resumes == row.place
        key = (row.resumes, row.start)
        if key not in seen:
            seen[key] = brute.cheapest(row)
        wanted = tuple(row.cost) if row.ending == "way-back" else None
        assert seen[key] == wanted, (row.step, row.slip.id)


@pytest.mark.timeout(60)
@pytest.mark.parametrize(
    "procedure", ["dressing-change", "connector-change", "line-removal"]
)
def test_the_way_of_an_unfinished_step_and_the_step_break_no_rule(
    procedure: str,
) -> None:
    here = stage()
    branch = named_branches(here.procedure(procedure), here)[1]
    ways = WaysBack(here.bedside, branch, dict.fromkeys(branch.items, 9))
    rows = [(row, ways.unfinished(row)) for row in ways.table()]

    assert any(amid is not None and amid.acts != row.acts for row, amid in rows)
    for row, amid in rows:
        once_begun = branch.acts[row.place].step.verb in ("pull", "open-lumen")
        goes_on = row.ending == "way-back" and row.resumes > row.place
        goes_on = goes_on and not once_begun
        assert (amid is not None) is goes_on
        if amid is not None and amid.ending == "way-back":
            assert ways.breaks(amid) == (), (row.step, row.slip.id)


def test_what_an_unfinished_step_would_have_used_counts_as_lost() -> None:
    ways = plain()
    place = [a.step.id for a in ways.branch.acts].index("D13")
    [slip] = [s for s in ways.slips if s.id == "glove-touches-unsterile"]
    row = ways.way_back(place, slip)
    assert row is not None
    amid = ways.unfinished(row)

    assert amid is not None
    for spot, count in ways.branch.acts[place].uses:
        was, now = ways.states[place].items[spot], amid.start.items[spot]
        assert now.ready + now.sealed == was.ready + was.sealed - count
