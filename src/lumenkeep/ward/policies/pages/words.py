"""A policy in the educator's words: facts, tests, units, kinds of rule, and sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model import words
from lumenkeep.core.policy.numbers import value_in_words
from lumenkeep.core.policy.rules import (
    AtOnce,
    Exclusion,
    Interval,
    Note,
    Referral,
    Requirement,
)
from lumenkeep.core.policy.vocabulary import FACTS, TASKS
from lumenkeep.text.moments import capital, lower_first

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

    from lumenkeep.core.policy import Policy, Rule
    from lumenkeep.core.policy.conditions import Comparison
    from lumenkeep.core.policy.numbers import Number

TESTS = {
    "below": "is below",
    "at_least": "is at least",
    "above": "is above",
    "at_most": "is at most",
    "is": "is",
    "is_not": "is not",
    "includes": "include any of",
    "includes_all": "include all of",
    "lacks": "include none of",
}
UNITS = {
    "g": "grams",
    "count": "(a count)",
    "percent": "percent",
    "days": "days",
    "weeks+days": "weeks and days, as in 28w0d",
    "mm": "mm",
    "cm": "cm",
    "m": "metres",
    "in": "inches",
    "s": "seconds",
    "min": "minutes",
    "h": "hours",
    "calendar-days": "days by the calendar",
    "calendar-months": "months by the calendar",
    "calendar-years": "years by the calendar",
}
HOW = {
    "found": "its text was seen",
    "memory": "from memory, to be confirmed",
    "common-practice": "common practice, no text",
}
KINDS = {
    "exclude": "Who may not have what",
    "interval": "How long things stay",
    "at_once": "What is changed at once",
    "refer": "When to stop and call",
    "note": "Cautions, and what to look at",
    "require": "What the answers are held to",
}
NEW = {
    "exclude": "Bar something for some children",
    "interval": "Say how long something stays",
    "at_once": "Say what makes a task due at once",
    "refer": "Say when to stop and call",
    "note": "Add a caution",
}
FIELD_OF = {
    "exclude": "exclusions",
    "interval": "intervals",
    "at_once": "at_once",
    "refer": "referrals",
    "note": "notes",
    "require": "requirements",
}
BATHS = {"chlorhexidine-bath": "Bath with chlorhexidine"}
ORDERS = {
    "antiseptics": "Antiseptics, in the order in which they are tried",
    "dressings": "Dressings, in the order in which they are tried",
}
STAGES = {
    "proved": "Proved, waiting for approval",
    "approved": "Approved, not yet in force",
    "planned": "Approved, starts later",
    "in-force": "In force",
    "replaced": "No longer in force",
    "retired": "Retired",
}
PROPERTIES = {
    "complete": (
        "Every child gets an answer",
        "One antiseptic, one dressing and one interval, or stop; never two.",
    ),
    "safe": (
        "Nobody gets what they must not have",
        (
            "No antiseptic or dressing goes where a rule bars it, or might; no time is "
            "shorter than its floor."
        ),
    ),
    "consistent": (
        "No rule contradicts another",
        "No two rules disagree, and none is without effect.",
    ),
    "stable": (
        "Growing takes nothing away",
        "What a child may have stays allowed as the child grows, unless a rule says so.",
    ),
    "honest": (
        "The plan does what was proved",
        "At both sides of every limit the planner answers as the proof says.",
    ),
    "aseptic": (
        "Every procedure stays sterile",
        "No step of any procedure breaks a rule of asepsis, whatever the plan says.",
    ),
    "laid-out": (
        "What is needed lies ready",
        (
            "Each plan lays out as much as the steps of its change use, in the size of "
            "whom it must fit."
        ),
    ),
}


def label_of(policy: Policy, item: str) -> str:
    """Return what an antiseptic, dressing or bath is called."""
    agent = policy.agents.get(item)
    if agent is not None:
        return agent.label
    return words.DRESSINGS.get(item) or BATHS.get(item, item)


def number_words(number: Number, day: date) -> str:
    """Return what a number is on a day, as in "1000 g"."""
    dated = number.on_or_first(day)
    return value_in_words(dated.value, number.unit)


def condition_rows(policy: Policy, rule: Rule, day: date) -> list[str]:
    """Return the conditions of a rule as phrases; one of them must hold."""
    return [
        " and ".join(_condition(policy, part, day) for part in row) for row in rule.when
    ]


def _condition(policy: Policy, part: Comparison, day: date) -> str:
    fact = FACTS[part.fact]
    if part.number is not None:
        limit = number_words(policy.numbers[part.number], day)
    else:
        known = dict(fact.allowed or {})
        limit = " or ".join(
            known.get(word, label_of(policy, word)).lower() for word in part.words
        )
    return f"{fact.label} {TESTS[part.test]} {limit}"


def rule_sentence(policy: Policy, rule: Rule, day: date) -> str:
    """Return what a rule does and for whom, as one sentence."""
    rows = condition_rows(policy, rule, day)
    whom = "when " + ", or when ".join(rows) if rows else "always"
    return f"{_does(policy, rule, day)} {whom}."


def _does(policy: Policy, rule: Rule, day: date) -> str:
    match rule:
        case Exclusion():
            return f"No {_listed(policy, rule.bars)}"
        case Interval():
            task = TASKS[rule.task]
            spans = [
                f"{start} {number_words(policy.numbers[id_], day)}"
                for start, id_ in (
                    ("not before", rule.not_before),
                    ("not after", rule.not_after),
                )
                if id_
            ]
            return f"{task}: {', '.join(spans) or 'no clock, only when it fails'},"
        case AtOnce():
            return f"{TASKS[rule.task]}: at once"
        case Referral():
            return f"Stop and call {rule.call or policy.call}"
        case Note():
            return "Caution" if rule.kind == "caution" else "Look"
        case Requirement():
            return f"The answer is {_claims(policy, rule) or 'as its reason says'}"
        case _:
            return "Holds"


def _claims(policy: Policy, rule: Requirement) -> str:
    """Return what a requirement holds the answer to, of which one of a list will do."""
    claims = [
        " or ".join(lower_first(label_of(policy, item)) for item in items)
        for items in (rule.agent, rule.dressing, rule.verdict)
        if items
    ]
    claims += [
        f"not {lower_first(label_of(policy, item))}"
        for item in (*rule.not_agent, *rule.not_dressing)
    ]
    return ", ".join(claims)


def _listed(policy: Policy, items: Sequence[str]) -> str:
    found = [lower_first(label_of(policy, item)) for item in items]
    return ", no ".join(found)


def part_label(policy: Policy, kind: str, id_: str, table: dict[str, object]) -> str:
    """Return what a part of a policy is called on the page."""
    if kind == "number":
        number = policy.numbers.get(id_)
        return capital(number.means if number else str(table.get("means", id_)))
    for key in ("because", "title", "label", "topic"):
        if isinstance(table.get(key), str):
            return capital(str(table[key]))
    return id_


def names_joined(names: Iterable[str]) -> str:
    """Return names as a colleague says them, as in "Kestrel, Wren and Heron"."""
    found = list(names)
    if len(found) < 2:  # noqa: PLR2004  one name stands alone
        return "".join(found)
    return f"{', '.join(found[:-1])} and {found[-1]}"
