"""Claims about limits of length: none rings by measuring error more often than promised.

The rates are computed (`lumenkeep.core.policy.still_lines`); the solver finds the child for
whom two limits and a measuring rule come together.
"""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

import z3

from lumenkeep.core.policy.solver.claims import Claim
from lumenkeep.core.policy.still_lines import LIMITS_SHARE, still_rate

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.policy.policy import LiveRule
    from lumenkeep.core.policy.solver.answers import SymbolicAnswer
    from lumenkeep.core.policy.watch_rules import LengthLimit, Measuring

PERCENT = 100
OUTWARD, INWARD = "outward", "inward"


def lengths(answer: SymbolicAnswer) -> Iterator[Claim]:
    """Yield the claims that limits of length keep the set's own promise."""
    counting = _counting(answer)
    known = z3.Or([counts for _, counts in counting])
    for live in answer.book.length_limits:
        rule = live.rule
        yield Claim(
            "consistent",
            f"Limit '{rule.id}' holds for a child for whom no rule says how exactly "
            "length is measured, so nobody could say how often error alone rings it.",
            z3.And(z3.Not(answer.rule(live).fails), z3.Not(known)),
            answer.child,
            (rule,),
            "add a [[measuring]] with the error as a standard deviation, or take the "
            "limit out",
        )
    for measuring, counts in counting:
        yield from _kept(answer, measuring, counts)


def _counting(answer: SymbolicAnswer) -> list[tuple[Measuring, z3.BoolRef]]:
    """Return each measuring rule with that it is the one that counts."""
    rules = [(live.rule, answer.rule(live).holds) for live in answer.book.measuring]
    return [
        (
            rule,
            z3.And(holds, *(z3.Not(h) for r, h in rules if r.priority > rule.priority)),
        )
        for rule, holds in rules
    ]


def _kept(
    answer: SymbolicAnswer, measuring: Measuring, counts: z3.BoolRef
) -> Iterator[Claim]:
    limits = answer.book.length_limits
    if measuring.over is None:
        for live in limits:
            yield Claim(
                "consistent",
                f"Measuring rule '{measuring.id}' does not say within how many "
                f"measurements its promise is kept, and limit '{live.rule.id}' is rung "
                "by error alone sooner or later.",
                z3.And(counts, z3.Not(answer.rule(live).fails)),
                answer.child,
                (live.rule, measuring),
                'write over = "…", the count of measurements within which it is kept',
            )
        return
    for out in [one for one in limits if one.rule.direction != INWARD]:
        for into in [one for one in limits if one.rule.direction != OUTWARD]:
            yield from _pair(answer, measuring, counts, out, into)
    ways = {one.rule.direction for one in limits}
    if ways in ({OUTWARD}, {INWARD}):
        for live in limits:
            yield from _pair(answer, measuring, counts, live, live)


def _pair(
    answer: SymbolicAnswer,
    measuring: Measuring,
    counts: z3.BoolRef,
    out: LiveRule[LengthLimit],
    into: LiveRule[LengthLimit],
) -> Iterator[Claim]:
    """Yield the claim that two limits, which may be one, together keep the promise."""
    over = int(_plain(answer, measuring.over or ""))
    promised = _plain(answer, measuring.false_alarm)
    error = _plain(answer, measuring.error)
    rate = PERCENT * still_rate(
        inf if out.rule.direction == INWARD else _size(answer, out.rule),
        inf if into.rule.direction == OUTWARD else _size(answer, into.rule),
        error,
        over,
    )
    named = {one.rule.id: one.rule for one in (out, into)}
    words = " and ".join(
        f"'{rule.id}' ({_size(answer, rule):g} mm)" for rule in named.values()
    )
    noun = "Limit" if len(named) == 1 else "Limits"
    verb = "calls" if len(named) == 1 else "call"
    rings = rate > promised * LIMITS_SHARE
    yield Claim(
        "consistent",
        f"{noun} {words} {verb} {rate:.1f} of 100 lines moved that never move, within "
        f"{over} measurements of {error:g} mm error (standard deviation); of the "
        f"{promised:g} that '{measuring.id}' allows, limits may take "
        f"{promised * LIMITS_SHARE:g}.",
        z3.And(
            z3.BoolVal(rings),
            counts,
            z3.Not(answer.rule(out).fails),
            z3.Not(answer.rule(into).fails),
        ),
        answer.child,
        (*named.values(), measuring),
        "set the limit wider: a smaller shift is found by a second measurement, and by "
        "all of them together",
    )


def _size(answer: SymbolicAnswer, rule: LengthLimit) -> float:
    return _plain(answer, rule.at_least or rule.above or "")


def _plain(answer: SymbolicAnswer, number: str) -> float:
    return float(answer.book.value(number))  # type: ignore[arg-type]  # a plain number
