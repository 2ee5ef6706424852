"""The facts to ask for: those that would change the answer, and no others."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model.words import SENSITIVITIES
from lumenkeep.core.planning.plan import Question
from lumenkeep.core.policy.vocabulary import FACTS

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.core.model.allergy import Open
    from lumenkeep.core.policy import LiveRule, Rule, Situation
    from lumenkeep.core.policy.child_rules import Weighing

TOUCHES_SKIN = (
    "does it concern anything that touches this child's skin: antiseptic, dressing, "
    "tape, remover, gloves? Chart which, or that it does not; then nobody asks again."
)
WEIGH_FIRST = "What does the child weigh now? Weigh before the change."
WEIGH_AGAIN = "What does the child weigh now? The last weighing is too old to count."
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


def ask_to_weigh(situation: Situation, rule: Weighing) -> Question:
    """Return the question for a new weighing beside a plan that it might change.

    Parameters
    ----------
    situation
        The facts known, the mass as far as an old weighing tells it.
    rule
        How long a weighing counts.
    """
    known = situation.value_in_words("mass")
    return Question(
        fact="mass",
        ask=WEIGH_FIRST,
        because=f"The mass is {known}; another might change this plan. {rule.because}",
        rules=(rule.id,),
        blocks=False,
    )


def _ask(fact: str, situation: Situation) -> str:
    if fact == "age" and situation.born_earliest is not None:
        return TIME_OF_BIRTH
    if fact == "mass" and situation.is_mass_old:
        return WEIGH_AGAIN
    if fact == "sensitivities" and (open_ := situation.case.child.allergies.open):
        return " ".join(_ask_about(said) for said in open_)
    return FACTS[fact].ask or ""


def _ask_about(said: Open) -> str:
    """Return what to ask of a phrase, so that its answer can be charted once."""
    if said.is_strange:
        return f"“{said.phrase}”: {TOUCHES_SKIN}"
    names = " or ".join(SENSITIVITIES[w].lower() for w in sorted(said.about))
    return f"“{said.phrase}”: does the child tolerate {names}, or not?"


def _because(fact: str, rules: list[LiveRule[Rule]], situation: Situation) -> str:
    known = situation.value_in_words(fact)
    label = FACTS[fact].label
    state = f"the {label} is {known}" if known else f"the {label} is not known"
    if fact == "age" and known:
        state = "only the date of birth is known"
    texts = " ".join(dict.fromkeys(live.rule.because for live in rules))
    return f"This may apply, and {state}: {texts}"
