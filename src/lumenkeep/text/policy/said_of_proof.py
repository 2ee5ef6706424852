"""What a proof stood on and what it does not show, in sentences."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.policy.numbers import value_in_words
from lumenkeep.core.policy.solver.child import BOUNDS_USED, OLDEST_YEARS
from lumenkeep.core.policy.still_lines import LIMITS_SHARE
from lumenkeep.core.proving.lay_out import used_by_no_step
from lumenkeep.core.rehearsal.procedure_files import bedside_of, change_procedure
from lumenkeep.text.policy.restated import restated_in_words, span_in_words
from lumenkeep.text.policy.what_is_proved import NOT_PROVED
from lumenkeep.text.policy.words import listed, lower_first, when_words

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.bounds import Band
    from lumenkeep.core.policy.policy import LiveRule, RuleBook
    from lumenkeep.core.policy.watch_rules import Measuring

FROM_MEMORY = "memory"


@dataclass(frozen=True, slots=True)
class SaidOfProof:
    """What is said with a proof.

    Attributes
    ----------
    restated
        What the set says openly: what it loosens, its own bounds of the world, and
        what it says anew.
    not_proved
        What no property shows, whoever follows the set.
    believed
        What is taken of the world and not shown: if it is wrong, so may the proof be.
    """

    restated: tuple[str, ...]
    not_proved: tuple[str, ...]
    believed: tuple[str, ...]


def said_of(policy: Policy, day: date) -> SaidOfProof:
    """Return what is said with the proof of a set on a day."""
    book = policy.on(day)
    return SaidOfProof(
        restated_in_words(policy, day),
        tuple(_not_proved(policy, day)),
        tuple(_believed(policy, book)),
    )


def _not_proved(policy: Policy, day: date) -> Iterator[str]:
    yield from (says for key, says in NOT_PROVED.items() if key != "world")
    if change_procedure(bedside_of(policy, day)) is None:
        yield (
            "That what a change needs lies ready: this set has no procedure that changes "
            "a dressing, so nothing says what is used."
        )
    idle = used_by_no_step(policy, day)
    if idle:
        yield (
            "That it is right to lay out what no step of the change takes: "
            f"{listed([lower_first(label) for label in idle])}."
        )
    rules = policy.every_rule()
    recalled = [
        rule for rule in rules if (rule.how or _how(policy, rule.source)) == FROM_MEMORY
    ]
    if recalled:
        yield (
            f"That {len(recalled)} of {len(rules)} rules say what their document says: "
            "its text was not seen, and the edition in force is to be asked."
        )


def _how(policy: Policy, source: str) -> str:
    known = policy.sources.get(source)
    return known.how if known else ""


def _believed(policy: Policy, book: RuleBook) -> Iterator[str]:
    yield (
        "What is charted of a child is true; what is not charted may be anything inside "
        "these bounds."
    )
    for bound in (policy.bounds[id_] for id_ in BOUNDS_USED):
        yield f"{bound.id}: {span_in_words(bound)}. {bound.because}"
        if bound.bands:
            yield f"{bound.id} by age: {'; '.join(map(_band, bound.bands))}."
    for live in book.plausible:
        least = value_in_words(book.value(live.rule.at_least), "g")
        when = when_words(live.when, book)
        yield (
            f"When {when or 'nothing more is known'}, an unknown mass is taken to be at "
            f"least {least}. {live.rule.because}"
        )
    yield (
        f"Nobody is older than {OLDEST_YEARS} years; a birth of which only the day is "
        "known lies within 25 hours, and a month has 28 to 31 days, two of them 59 to "
        "62, and so on by the calendar."
    )
    yield (
        "A child that grows gets no lighter and changes its mass at the earliest after a "
        "day; nothing else changes by growing."
    )
    for measuring in book.measuring:
        yield from _still(book, measuring)


def _band(band: Band) -> str:
    return f"from {band.days} days on {band.low:g} to {band.high:g}"


def _still(book: RuleBook, live: LiveRule[Measuring]) -> Iterator[str]:
    rule = live.rule
    when = when_words(live.when, book)
    over = f" Up to {book.words(rule.over)} measurements count." if rule.over else ""
    yield (
        f"Lengths of a line that lies still{f', when {when},' if when else ''} differ by "
        f"chance alone, each apart and by a bell curve of {book.words(rule.error)} "
        f"(standard deviation); limits may take {LIMITS_SHARE:.0%} of the "
        f"false alarms that '{rule.id}' allows.{over}"
    )
