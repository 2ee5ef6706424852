"""Claims about what a child has on: nothing barred stays on, whoever put it there.

A set chooses among its own dressings, but a child comes from elsewhere, or had its
dressing before the bar came. So each dressing that can be charted is asked about.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import z3

from lumenkeep.core.model.dressing_kinds import DRESSING_KINDS
from lumenkeep.core.model.words import DRESSINGS, FINDINGS, SENSITIVITIES
from lumenkeep.core.policy.solver.claims import Claim

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.policy.rules import Rule
    from lumenkeep.core.policy.solver.answers import SymbolicAnswer


def nothing_barred_stays_on(answer: SymbolicAnswer) -> Iterator[Claim]:
    """Yield that a dressing which a child may not have on is due now."""
    for kind in DRESSINGS:
        stays = z3.Not(_due_now(answer, kind))
        yield from _failed(answer, kind, stays)
        yield from _substances(answer, kind, stays)
        yield from _required(answer, kind, stays)
        yield from _same_on_the_site(answer, kind, stays)


def _due_now(answer: SymbolicAnswer, kind: str) -> z3.BoolRef:
    """That a dressing on the child is due now: by a finding, or by a bar."""
    found = [
        answer.rule(live, {"dressing": kind}).holds
        for live in answer.book.at_once
        if live.rule.task == "dressing"
    ]
    return z3.Or(*found, answer.barred(kind))


def _failed(answer: SymbolicAnswer, kind: str, stays: z3.BoolRef) -> Iterator[Claim]:
    """Yield that whatever is found wrong with a dressing makes it due at once."""
    for word, label in FINDINGS.items():
        has = answer.child.members["findings"][word]
        yield Claim(
            "safe",
            f"“{DRESSINGS[kind]}” is found: {label.lower()}. And it stays on.",
            z3.And(answer.child.set_known["findings"], has, stays),
            answer.child,
            tuple(a.rule for a in answer.book.at_once if a.rule.task == "dressing"),
            f"add an [[at_once]] for the task dressing when findings include '{word}'",
            worn=kind,
        )


def _substances(
    answer: SymbolicAnswer, kind: str, stays: z3.BoolRef
) -> Iterator[Claim]:
    """Yield that nobody keeps on what holds a substance they do not tolerate."""
    for substance in DRESSING_KINDS[kind].touches_site:
        if substance in SENSITIVITIES:
            yield Claim(
                "safe",
                f"“{DRESSINGS[kind]}” stays on a child who does not tolerate "
                f"{substance}.",
                z3.And(_told(answer, substance), stays),
                answer.child,
                _barring(answer, kind),
                f"let the rule for those sensitive to {substance} bar '{kind}' too",
                worn=kind,
            )


def _told(answer: SymbolicAnswer, substance: str) -> z3.BoolRef:
    """That the child is known not to tolerate a substance."""
    child = answer.child
    has = child.members["sensitivities"][substance]
    return z3.And(child.set_known["sensitivities"], has)


def _required(answer: SymbolicAnswer, kind: str, stays: z3.BoolRef) -> Iterator[Claim]:
    for live in answer.book.requirements:
        if kind in live.rule.not_dressing:
            holds = answer.rule(live, {"dressing": kind}).holds
            yield Claim(
                "safe",
                f"Required by {live.rule.source}: {live.rule.because.rstrip('.')}. But "
                f"“{DRESSINGS[kind].lower()}” stays on.",
                z3.And(holds, stays),
                answer.child,
                (live.rule, *_barring(answer, kind)),
                f"let the rule that holds the requirement bar '{kind}' too",
                worn=kind,
            )


def _same_on_the_site(
    answer: SymbolicAnswer, kind: str, stays: z3.BoolRef
) -> Iterator[Claim]:
    """Yield that a bar on what touches the skin counts for all that brings it there.

    A dressing may hold a material besides, as a gel; then nobody is meant who does
    not tolerate that. A substance that antiseptics hold is barred for other reasons.
    """
    agents = answer.policy.agents.values()
    active = {substance for agent in agents for substance in agent.contains}
    materials = set(SENSITIVITIES) - active
    for other in DRESSINGS:
        one, two = DRESSING_KINDS[other], DRESSING_KINDS[kind]
        more = set(one.touches_site) - set(two.touches_site)
        if other == kind or not more <= materials or not _barring(answer, other):
            continue
        members = answer.child.members["sensitivities"]
        yield Claim(
            "safe",
            f"“{DRESSINGS[other]}” is barred for a child on whom "
            f"“{DRESSINGS[kind].lower()}” stays, which holds the same.",
            z3.And(
                answer.barred(other),
                stays,
                *(z3.Not(members[material]) for material in sorted(more)),
            ),
            answer.child,
            _barring(answer, other),
            f"let what bars '{other}' bar '{kind}' too",
            worn=kind,
        )


def _barring(answer: SymbolicAnswer, item: str) -> tuple[Rule, ...]:
    return tuple(e.rule for e in answer.book.exclusions if item in e.rule.bars)
