"""The facts to ask for: those that would change the answer, and no others."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.planning.plan import Question
from lumenkeep.policy.vocabulary import FACTS

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.policy import LiveRule, Rule, Situation

TIME_OF_BIRTH = "At what time of day was the child born?"


def questions(
    blocking: Iterable[LiveRule[Rule]],
    others: Iterable[LiveRule[Rule]],
    situation: Situation,
) -> tuple[Question, ...]:
    """Return one question for each fact that leaves a rule undecided.

    Parameters
    ----------
    blocking
        Undecided rules on which the antiseptic depends.
    others
        Undecided rules for which the plan takes the safe side meanwhile.
    situation
        The facts known.
    """
    if not blocking and not others:
        return ()
    asked: dict[str, tuple[bool, list[LiveRule[Rule]]]] = {}
    for blocks, rules in ((True, blocking), (False, others)):
        for live in rules:
            for comparison in live.when.undecided(situation):
                if FACTS[comparison.fact].ask is None:
                    continue
                about = asked.setdefault(comparison.fact, (blocks, []))[1]
                if live not in about:
                    about.append(live)
    return tuple(
        Question(
            fact=fact,
            ask=_ask(fact, situation),
            because=_because(fact, rules, situation),
            rules=tuple(live.rule.id for live in rules),
            blocks=blocks,
        )
        for fact, (blocks, rules) in asked.items()
    )


def facts_in_doubt(
    rules: Iterable[LiveRule[Rule]], situation: Situation
) -> tuple[str, ...]:
    """Return the facts that leave any of ``rules`` undecided, each once."""
    return tuple(
        dict.fromkeys(
            c.fact
            for live in rules
            for c in live.when.undecided(situation)
            if FACTS[c.fact].ask is not None
        )
    )


def _ask(fact: str, situation: Situation) -> str:
    if fact == "age" and situation.born_earliest is not None:
        return TIME_OF_BIRTH
    return FACTS[fact].ask or ""


def _because(fact: str, rules: list[LiveRule[Rule]], situation: Situation) -> str:
    known = situation.value_in_words(fact)
    label = FACTS[fact].label
    state = f"the {label} is {known}" if known else f"the {label} is not known"
    if fact == "age" and known:
        state = "only the date of birth is known"
    texts = " ".join(dict.fromkeys(live.rule.because for live in rules))
    return f"This may apply, and {state}: {texts}"
