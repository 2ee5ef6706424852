"""Claims of completeness: every child is answered, and answered once."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import z3

from lumenkeep.core.model.words import DRESSINGS, SET_KINDS
from lumenkeep.core.policy.solver.child import CHOICES
from lumenkeep.core.policy.solver.claims import Claim
from lumenkeep.core.policy.solver.formulas import YES
from lumenkeep.core.policy.vocabulary import TASKS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.policy.solver.answers import SymbolicAnswer


def complete(answer: SymbolicAnswer) -> Iterator[Claim]:
    """Yield the claims that a set leaves nobody without an answer."""
    policy, child = answer.policy, answer.child
    words = (answer.plans, answer.asks, answer.stops)
    yield Claim(
        "complete",
        "A child gets no verdict, or two.",
        z3.Not(z3.PbEq([(word, 1) for word in words], 1)),
        child,
        (),
        "this is a fault of Lumenkeep: report it",
    )
    given = [answer.gives(agent) for agent in policy.antiseptics]
    yield Claim(
        "complete",
        "A child gets a plan with no antiseptic, or with two.",
        z3.And(answer.plans, z3.Not(z3.PbEq([(g, 1) for g in given], 1))),
        child,
        (),
        "look at the order in set.antiseptics",
    )
    yield Claim(
        "complete",
        "A child of whom everything is known is answered with a question.",
        z3.And(child.is_wholly_known(), answer.asks),
        child,
        tuple(r.rule for r in answer.book.referrals),
        "let each rule compare only facts that a case can hold",
    )
    covered = [answer.covers(dressing) for dressing in policy.dressings]
    yield Claim(
        "complete",
        "A child gets a plan with no dressing: every dressing of the set is, or may "
        "be, barred.",
        z3.And(answer.plans, z3.Not(z3.Or(covered))),
        child,
        tuple(
            e.rule
            for e in answer.book.exclusions
            if set(e.rule.bars) & set(policy.dressings)
        ),
        "add a dressing that nothing bars at the end of set.dressings",
    )
    yield from _one_stay(answer)
    yield Claim(
        "complete",
        "No rule says which film suits, and how much skin is cleaned for it.",
        z3.And([answer.rule(live).fails for live in answer.book.films]),
        answer.child,
        tuple(live.rule for live in answer.book.films),
        "add a [[film]] for these children",
    )
    yield from _all_that_can_be_there(answer)
    yield from _no_two_windows(answer)


def _one_stay(answer: SymbolicAnswer) -> Iterator[Claim]:
    for dressing in answer.policy.dressings:
        active = answer.active("dressing", {"dressing": dressing})
        none = z3.And([z3.Not(possibly) for _, _, possibly in active])
        yield Claim(
            "complete",
            f"No interval says how long “{DRESSINGS[dressing].lower()}” may stay.",
            z3.And(answer.plans, answer.covers(dressing), none),
            answer.child,
            tuple(live.rule for live, _, _ in active),
            f"add an [[interval]] for the task dressing that speaks of '{dressing}'",
        )


def _all_that_can_be_there(answer: SymbolicAnswer) -> Iterator[Claim]:
    """Yield that whatever can be charted on a line has a rule of when it is due.

    That nothing is due may be said only of a port at rest and, for its sets, of a
    line not in use.
    """
    child = answer.child

    def truly(fact: str, word: str) -> z3.BoolRef:
        return child.choice[fact] == CHOICES[fact].index(word)

    is_port, has_needle = truly("line_kind", "port"), truly("needle_in", "yes")
    awake = z3.Or(z3.Not(is_port), has_needle)
    used = z3.And(awake, truly("in_use", "yes"))
    for task, label, planned, there in (
        *(
            ("dressing", f"“{words.lower()}” that is on", {"dressing": kind}, awake)
            for kind, words in DRESSINGS.items()
        ),
        *(
            ("set", f"a set for {words.lower()}", {"set_kind": kind}, used)
            for kind, words in SET_KINDS.items()
        ),
        ("port-needle", "a needle in a port", {}, z3.And(is_port, has_needle)),
        ("connector", "the connectors", {}, awake),
        ("site-check", "a look at the site", {}, YES),
        ("line-review", "the question whether the line is needed", {}, YES),
    ):
        active = answer.active(task, planned)
        none = z3.And(
            [z3.Not(may) for live, _, may in active if not live.rule.nothing_due]
        )
        yield Claim(
            "complete",
            f"Nothing says when {label} is due.",
            z3.And(there, none),
            child,
            tuple(live.rule for live, _, _ in active),
            f"add an [[interval]] for the task {task} that speaks of it",
            worn=planned.get("dressing"),
            # What is barred is due now, whatever its interval says.
            rather=z3.Not(answer.barred(planned["dressing"]))
            if "dressing" in planned
            else None,
        )


def _contexts(answer: SymbolicAnswer, task: str) -> list[dict[str, str]]:
    if task == "dressing":
        worn = dict.fromkeys((*answer.policy.dressings, *DRESSINGS))
        return [{"dressing": kind} for kind in worn]
    if task == "set":
        return [{"set_kind": kind} for kind in SET_KINDS]
    return [{}]


def _no_two_windows(answer: SymbolicAnswer) -> Iterator[Claim]:
    for task in TASKS:
        if len(answer.book.intervals_of(task)) <= 1:
            continue
        for context in _contexts(answer, task):
            active = answer.active(task, context)
            for (one, first, _), (two, second, _) in combinations(active, 2):
                if one.rule.priority != two.rule.priority:
                    continue
                yield Claim(
                    "complete",
                    f"Two intervals of equal priority count at once for the task {task}.",
                    z3.And(first, second),
                    answer.child,
                    (one.rule, two.rule),
                    "narrow one's conditions, or give one a higher priority",
                )
