"""What led to an answer that breaks a requirement: the rules and numbers to look at.

Each comes with a formula that says for which children it had its part. Of those that
the child shown fulfils, the breach names rule and number with their place.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import z3

from lumenkeep.core.policy.solver.formulas import YES

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lumenkeep.core.policy.numbers import Number
    from lumenkeep.core.policy.policy import LiveRule
    from lumenkeep.core.policy.rules import Requirement, Rule
    from lumenkeep.core.policy.solver.answers import SymbolicAnswer

    Led = Iterator[tuple[z3.BoolRef, Rule | Number]]


def by_agent(answer: SymbolicAnswer, rule: Requirement, agent: str) -> Led:
    """Yield what let an agent be given, or what held back those that are wanted."""
    yield from _by_choice(answer, rule, agent, rule.agent)


def by_dressing(answer: SymbolicAnswer, rule: Requirement, kind: str) -> Led:
    """Yield what let a dressing be chosen, or what held back those that are wanted."""
    yield from _by_choice(answer, rule, kind, rule.dressing)


def by_verdict(answer: SymbolicAnswer, rule: Requirement) -> Led:
    """Yield what hands the child on or bars agents, or did not though it might have."""
    goes_on = "plan" in rule.verdict
    for one, live in zip(answer.referrals, answer.book.referrals, strict=True):
        if goes_on or _shared(rule, live.rule):
            part = z3.Not(one.fails) if goes_on else z3.Not(one.holds)
            yield from _with_numbers(answer, part, live)
    for agent in answer.policy.antiseptics:
        if goes_on:
            yield from _held_back(answer, agent)
        else:
            yield from _let_through(answer, rule, agent)


def by_stay(answer: SymbolicAnswer, task: str, planned: dict[str, str]) -> Led:
    """Yield the intervals that may count, with their times."""
    for live, _, possibly in answer.active(task, planned):
        yield possibly, live.rule
        yield from _numbers(
            answer, possibly, (live.rule.not_after, live.rule.not_before)
        )


def by_times(answer: SymbolicAnswer, agent: str) -> Led:
    """Yield the numbers of an agent's way, and the site rules that count."""
    used = answer.policy.agents[agent]
    yield from _numbers(answer, YES, (used.swabs, used.seconds_per_swab, used.dry))
    for position, live in enumerate(answer.book.site_rules):
        counts = answer.site_rule_counts(position, agent)
        yield counts, live.rule
        yield from _numbers(answer, counts, (live.rule.scrub, live.rule.dry))


def by_strength(answer: SymbolicAnswer, agent: str) -> Led:
    """Yield the agent and how strong it is."""
    used = answer.policy.agents[agent]
    yield YES, used
    yield from _numbers(answer, YES, (used.strength,))


def by_staff(answer: SymbolicAnswer) -> Led:
    """Yield the rules of people that may count."""
    for live in answer.book.staffing:
        may = z3.Not(answer.rule(live).fails)
        yield may, live.rule
        yield from _numbers(answer, may, (live.rule.staff,))


def by_film_and_weighing(answer: SymbolicAnswer, rule: Requirement) -> Led:
    """Yield the films, or the rules of weighing, that may count."""
    if rule.film_at_most:
        for film in answer.book.films:
            may = z3.Not(answer.rule(film).fails)
            yield may, film.rule
            yield from _numbers(answer, may, (film.rule.width, film.rule.height))
    if rule.weighing_at_most:
        for weighing in answer.book.weighings:
            may = z3.Not(answer.rule(weighing).fails)
            yield may, weighing.rule
            yield from _numbers(answer, may, (weighing.rule.counts_for,))


def by_bars(answer: SymbolicAnswer, rule: Requirement, item: str) -> Led:
    """Yield the bars on an item that might have held, and did not."""
    yield from _let_through(answer, rule, item)


def by_at_once(answer: SymbolicAnswer, rule: Requirement) -> Led:
    """Yield the rules that make the task due at once: that did not, or ought not to."""
    for live in answer.book.at_once:
        if live.rule.task == rule.task and _shared(rule, live.rule):
            held = answer.rule(live).holds
            part = z3.Not(held) if rule.at_once else held
            yield from _with_numbers(answer, part, live)


def _by_choice(
    answer: SymbolicAnswer, rule: Requirement, item: str, wanted: tuple[str, ...]
) -> Led:
    if not wanted:
        yield from _let_through(answer, rule, item)
    for one in wanted:
        yield from _held_back(answer, one)


def _let_through(answer: SymbolicAnswer, rule: Requirement, item: str) -> Led:
    for one, live in zip(answer.exclusions, answer.book.exclusions, strict=True):
        if item in live.rule.bars and _shared(rule, live.rule):
            yield from _with_numbers(answer, z3.Not(one.holds), live)


def _held_back(answer: SymbolicAnswer, item: str) -> Led:
    """Yield the bars on an item that hold, or may."""
    for one, live in zip(answer.exclusions, answer.book.exclusions, strict=True):
        if item in live.rule.bars:
            yield from _with_numbers(answer, z3.Not(one.fails), live)


def _shared(rule: Rule, other: Rule) -> bool:
    """Return whether two rules speak of a fact in common, or either of none."""
    mine, theirs = ({c.fact for row in one.when for c in row} for one in (rule, other))
    return not mine or not theirs or bool(mine & theirs)


def _with_numbers(
    answer: SymbolicAnswer, when: z3.BoolRef, live: LiveRule[Rule]
) -> Led:
    yield when, live.rule
    yield from _numbers(answer, when, (c.number for row in live.when.rows for c in row))


def _numbers(
    answer: SymbolicAnswer, when: z3.BoolRef, ids: Iterable[str | None]
) -> Led:
    """Yield numbers; those written inside a rule have its place and are not named."""
    for id_ in dict.fromkeys(ids):
        if id_ and "." not in id_:
            yield when, answer.policy.numbers[id_]
