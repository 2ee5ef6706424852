"""Claims that more known risk never lengthens a stay, or lets a time or a hand go.

The same child is asked about twice: without a sensitivity or a finding, and with it.
A set that does not speak of either where times are decided makes no claim here.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import z3

from lumenkeep.core.model.words import DRESSINGS, FINDINGS, SENSITIVITIES, SET_KINDS
from lumenkeep.core.policy.numbers import as_seconds, as_span
from lumenkeep.core.policy.solver.claims import Claim
from lumenkeep.core.policy.vocabulary import TASKS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.policy.policy import LiveRule
    from lumenkeep.core.policy.rules import Rule
    from lumenkeep.core.policy.solver.answers import SymbolicAnswer

RISKS = {"sensitivities": SENSITIVITIES, "findings": FINDINGS}
MEND = (
    "let the rule not turn on it, or let what is known to be worse have the shorter "
    "stay, the longer time and the more people"
)


def no_risk_eases(answer: SymbolicAnswer) -> Iterator[Claim]:
    """Yield that each risk, once it is known, shortens no time and lengthens no stay."""
    for fact, words in RISKS.items():
        for word, label in words.items():
            yield from _stays(answer, fact, word, label)
    for word, label in SENSITIVITIES.items():
        yield from _times(answer, word, label)
        yield from _people(answer, word, label)


def _speaks(live: LiveRule[Rule], fact: str) -> bool:
    return any(c.fact == fact for row in live.when.rows for c in row)


def _eased(
    answer: SymbolicAnswer, fact: str, word: str, before: z3.BoolRef, after: z3.BoolRef
) -> z3.BoolRef | None:
    """That what holds without a risk does not with it; None where it does not matter."""
    member = answer.child.members[fact][word]
    known = answer.child.set_known[fact]

    def given(formula: z3.BoolRef, has: bool) -> z3.BoolRef:  # noqa: FBT001  with or without
        changed = z3.substitute(
            formula, (member, z3.BoolVal(has)), (known, z3.BoolVal(val=True))
        )
        return z3.simplify(changed)

    without, with_it = given(before, False), given(after, True)  # noqa: FBT003
    if z3.eq(without, with_it):
        return None
    return z3.And(without, z3.Not(with_it))


def _stays(answer: SymbolicAnswer, fact: str, word: str, label: str) -> Iterator[Claim]:
    for task in TASKS:
        lives = answer.book.intervals_of(task)
        if not any(_speaks(live, fact) for live in lives):
            continue
        for planned in _kinds(task):
            limits = [
                (as_span(answer.book.value(i.rule.not_after)).nominal_hours(), may)
                for i, _, may in answer.active(task, planned)
                if i.rule.not_after
            ]
            for most in sorted({hours for hours, _ in limits}):
                within = z3.Or([may for hours, may in limits if hours <= most])
                broken = _eased(answer, fact, word, within, within)
                if broken is not None:
                    about = next(iter(planned.values()), "")
                    yield Claim(
                        "safe",
                        f"Once “{label.lower()}” is known, the task {task}"
                        f"{f' ({about})' if about else ''} may wait longer than without.",
                        broken,
                        answer.child,
                        tuple(live.rule for live in lives if _speaks(live, fact)),
                        MEND,
                    )


def _kinds(task: str) -> list[dict[str, str]]:
    if task == "dressing":
        return [{"dressing": kind} for kind in DRESSINGS]
    if task == "set":
        return [{"set_kind": kind} for kind in SET_KINDS]
    return [{}]


def _times(answer: SymbolicAnswer, word: str, label: str) -> Iterator[Claim]:
    lives = answer.book.site_rules
    turning = [live for live in lives if _speaks(live, "sensitivities")]
    if not turning:
        return
    for agent in answer.policy.antiseptics:
        for what in ("scrub", "dry"):
            seconds = [
                as_seconds(answer.book.value(getattr(live.rule, what)))
                for live in lives
            ]
            for least in sorted(set(seconds)):
                counts = z3.Or(
                    [
                        answer.site_rule_counts(position, agent)
                        for position, found in enumerate(seconds)
                        if found >= least
                    ]
                )
                broken = _eased(answer, "sensitivities", word, counts, counts)
                if broken is not None:
                    yield Claim(
                        "safe",
                        f"Once “{label.lower()}” is known, the site has less time to "
                        f"{what} than without.",
                        z3.And(answer.gives(agent), broken),
                        answer.child,
                        tuple(live.rule for live in turning),
                        MEND,
                    )


def _people(answer: SymbolicAnswer, word: str, label: str) -> Iterator[Claim]:
    lives = answer.book.staffing
    turning = [live for live in lives if _speaks(live, "sensitivities")]
    if not turning:
        return
    many = [float(answer.book.value(live.rule.staff)) for live in lives]  # type: ignore[arg-type]  # a plain number
    for fewest in sorted(set(many)):
        enough = z3.Or(
            [
                z3.Not(answer.rule(live).fails)
                for live, found in zip(lives, many, strict=True)
                if found >= fewest
            ]
        )
        broken = _eased(answer, "sensitivities", word, enough, enough)
        if broken is not None:
            yield Claim(
                "safe",
                f"Once “{label.lower()}” is known, fewer people are planned than without.",
                broken,
                answer.child,
                tuple(live.rule for live in turning),
                MEND,
            )
