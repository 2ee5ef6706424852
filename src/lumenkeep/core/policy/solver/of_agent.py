"""Claims about what a requirement says of the antiseptic: which, and how it is used."""

from __future__ import annotations

from typing import TYPE_CHECKING

import z3

from lumenkeep.core.policy.numbers import as_seconds
from lumenkeep.core.policy.solver import led
from lumenkeep.core.policy.solver.formulas import NO, YES

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from lumenkeep.core.policy.rules import Requirement
    from lumenkeep.core.policy.solver.answers import SymbolicAnswer
    from lumenkeep.core.policy.solver.led import Led


def stands_for(answer: SymbolicAnswer, agent: str) -> tuple[str, ...]:
    """Return the names under which an agent is required of: its own, and the published.

    An agent of a set's own that holds what a published one holds is that one, whatever
    it is called.
    """
    core = answer.policy.core
    holds = set(answer.policy.agents[agent].contains)
    known = core.agents.values() if core is not None else ()
    others = (one.id for one in known if set(one.contains) == holds and one.id != agent)
    return (agent, *others)


def agent_broken(
    answer: SymbolicAnswer, rule: Requirement, agent: str
) -> Iterator[tuple[z3.BoolRef, str, Led]]:
    """Yield how the choice of an agent or its way may break the requirement."""
    for broken, but in _way_broken(answer, rule, agent):
        yield broken, but, led.by_agent(answer, rule, agent)
    strength = answer.policy.agents[agent].strength
    most = rule.strength_at_most
    if most and strength and _plain(answer, strength) > _plain(answer, most):
        but = f"'{agent}' is of {answer.book.words(strength)}"
        yield YES, but, led.by_strength(answer, agent)
    for broken, but in _amounts_broken(answer, rule, agent):
        yield broken, but, led.by_times(answer, agent)


def _way_broken(
    answer: SymbolicAnswer, rule: Requirement, agent: str
) -> Iterator[tuple[z3.BoolRef, str]]:
    """Yield how the agent's way may break the requirement."""
    used = answer.policy.agents[agent]
    names = set(stands_for(answer, agent))
    if names & set(rule.not_agent):
        yield YES, f"'{agent}' is given"
    elif rule.agent and not names & set(rule.agent):
        yield YES, f"'{agent}' is given instead of {_either(rule.agent)}"
    if rule.not_holding and set(rule.not_holding) <= set(used.contains):
        yield YES, f"'{agent}' is given, which holds {' and '.join(rule.not_holding)}"
    if rule.residue_removed and not (used.residue and used.residue_words):
        yield YES, f"'{agent}' is left on the skin"


def _either(agents: tuple[str, ...]) -> str:
    return " or ".join(f"'{agent}'" for agent in agents)


def _amounts_broken(
    answer: SymbolicAnswer, rule: Requirement, agent: str
) -> Iterator[tuple[z3.BoolRef, str]]:
    """Yield how the swabs and seconds of the agent's way may break the requirement."""
    used = answer.policy.agents[agent]
    if rule.swabs_at_least and _plain(answer, used.swabs) < _plain(
        answer, rule.swabs_at_least
    ):
        yield YES, f"'{agent}' is used with fewer swabs"
    yield from _times_broken(answer, rule, agent)


def _times_broken(
    answer: SymbolicAnswer, rule: Requirement, agent: str
) -> Iterator[tuple[z3.BoolRef, str]]:
    """Yield how the seconds of the agent's way may break the requirement."""
    used, each = answer.policy.agents[agent], 0
    if used.seconds_per_swab:
        each = as_seconds(answer.book.value(used.seconds_per_swab))
    scrub = each * int(_plain(answer, used.swabs))
    if rule.scrub_at_least:
        least = as_seconds(answer.book.value(rule.scrub_at_least))
        enough = _seconds(answer, agent, "scrub", scrub, lambda s: s >= least)
        spared = _spared(answer, agent, least)
        yield (
            z3.Not(z3.Or(enough, spared)),
            f"'{agent}' is scrubbed for less than {least} s",
        )
    if rule.scrub_at_most:
        most = as_seconds(answer.book.value(rule.scrub_at_most))
        longest = max(most, scrub)
        longer = _seconds(answer, agent, "scrub", scrub, lambda s: s > longest)
        yield longer, f"'{agent}' is scrubbed for more than {most} s"
    if rule.dry_at_least:
        least = as_seconds(answer.book.value(rule.dry_at_least))
        base = as_seconds(answer.book.value(used.dry))
        enough = _seconds(answer, agent, "dry", base, lambda s: s >= least)
        yield z3.Not(enough), f"'{agent}' is dried for less than {least} s"


def _seconds(
    answer: SymbolicAnswer,
    agent: str,
    of_site: str,
    base: int,
    fits: Callable[[int], bool],
) -> z3.BoolRef:
    """Return that the agent's own seconds fit, or those of a site rule that counts."""
    if fits(base):
        return YES
    counting = [
        answer.site_rule_counts(position, agent)
        for position, live in enumerate(answer.book.site_rules)
        if fits(as_seconds(answer.book.value(getattr(live.rule, of_site))))
    ]
    return z3.Or(counting or [NO])


def _spared(answer: SymbolicAnswer, agent: str, least: int) -> z3.BoolRef:
    """Return that another requirement keeps the scrub shorter than ``least``."""
    shorter = [
        answer.rule(live, {"agent": agent}).really
        for live in answer.book.requirements
        if live.rule.scrub_at_most
        and as_seconds(answer.book.value(live.rule.scrub_at_most)) < least
    ]
    return z3.Or(shorter or [NO])


def _plain(answer: SymbolicAnswer, number: str) -> float:
    return float(answer.book.value(number))  # type: ignore[arg-type]  # a plain number
