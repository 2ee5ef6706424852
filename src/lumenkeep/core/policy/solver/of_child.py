"""Claims about what a requirement says of the child: its film, and its weighing."""

from __future__ import annotations

from typing import TYPE_CHECKING

import z3

from lumenkeep.core.policy.numbers import as_span

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.policy.rules import Requirement
    from lumenkeep.core.policy.solver.answers import SymbolicAnswer


def of_child_broken(
    answer: SymbolicAnswer, rule: Requirement, applies: z3.BoolRef
) -> Iterator[tuple[z3.BoolRef, str]]:
    """Yield how film and weighing of the children spoken of may break a requirement."""
    if rule.film_at_most:
        most = _size(answer, rule.film_at_most)
        large = [
            answer.rule(live).really
            for live in answer.book.films
            if max(_size(answer, live.rule.width), _size(answer, live.rule.height))
            > most
        ]
        yield z3.And(applies, z3.Or(large)), "a larger film is laid out"
    if rule.weighing_at_most:
        most = as_span(answer.book.value(rule.weighing_at_most)).nominal_hours()
        yield z3.And(applies, _counts_longer(answer, most)), "a weighing counts longer"


def _counts_longer(answer: SymbolicAnswer, most: float) -> z3.BoolRef:
    """That the first weighing rule that may hold counts longer, or there is none."""
    longer: list[z3.BoolRef] = []
    before: list[z3.BoolRef] = []
    for live in answer.book.weighings:
        three = answer.rule(live)
        first = z3.And(z3.Not(three.fails), *before)
        span = as_span(answer.book.value(live.rule.counts_for))
        if span.nominal_hours() > most:
            longer.append(first)
        before.append(three.fails)
    return z3.Or(*longer, z3.And(before))


def _size(answer: SymbolicAnswer, number: str) -> float:
    return float(answer.book.value(number))  # type: ignore[arg-type]  # a length
