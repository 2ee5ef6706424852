"""The chapters about procedures and line rounds, as somebody reads them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.heads import kinds_of
from lumenkeep.text.policy.parts import (
    Citations,
    Detail,
    ReadingPart,
    Section,
    StatementText,
)
from lumenkeep.text.policy.words import capital, condition_words, listed, value_words

if TYPE_CHECKING:
    from collections.abc import Collection
    from datetime import date

    from lumenkeep.core.asepsis.procedure import Bedside, Procedure, Step
    from lumenkeep.core.asepsis.when import When
    from lumenkeep.core.policy import LiveRule
    from lumenkeep.core.policy.round_rules import RoundItem, RoundPlan
    from lumenkeep.errors import PolicyError

KEY = "procedure"
WHO = {
    "operator": "Operator",
    "assistant": "Assistant",
    "both": "Both",
    "near": "Everyone near",
    "child": "Child and family",
}
OF_THE_PLAN = {
    "plan.scrub": "As long as the plan says for the antiseptic and the site.",
    "plan.dry": "At least as long as the plan says, and until a look shows it dry.",
    "plan.hub-scrub": "As long as the policy says for a hub.",
}
ORDER = ("dressing-change",)
"""Procedures that are read first."""


def procedure_sections(
    tell: Citations, bedside: Bedside, day: date
) -> tuple[Section, ...]:
    """Return a chapter for each procedure, the dressing change first."""
    found = sorted(bedside.procedures.values(), key=lambda p: (p.id not in ORDER, p.id))
    return tuple(_section(tell, bedside, one, day) for one in found)


def faulty_section(error: PolicyError) -> Section:
    """Return the chapter of a set whose procedures cannot be read."""
    text = (
        f"The procedures of this set cannot be read: {len(error.faults)} "
        "faults. “lumenkeep rehearse” names each."
    )
    return Section(
        KEY, "Procedures", "", (ReadingPart("", (StatementText("", text),)),)
    )


def _section(
    tell: Citations, bedside: Bedside, procedure: Procedure, day: date
) -> Section:
    lead = procedure.because
    if procedure.repeat is not None:
        again = procedure.repeat
        lead += (
            f" Steps {again.first} to {again.last} are done once for each "
            f"{again.called.lower()}, one after the other."
        )
    statements = []
    kinds = kinds_of(procedure, bedside.kinds)
    for step in procedure.steps:
        when = when_in(step.when, kinds)
        if when is not None:
            told = replace(step, when=when)
            statements.append(_statement(tell, bedside, told, day))
    return Section(
        f"{KEY}-{procedure.id}",
        f"Procedure: {procedure.title}",
        lead,
        (ReadingPart("", tuple(statements)),),
    )


def when_in(when: When, kinds: Collection[str]) -> When | None:
    """Return a step's conditions inside one procedure; None where it never holds there."""
    if not when:
        return ()
    rows = []
    for row in when:
        here = [c for c in row if c.fact == "procedure"]
        if all(any(k in c.words for k in kinds) is c.wanted for c in here):
            rows.append(tuple(c for c in row if c.fact != "procedure"))
    if not rows:
        return None
    # A row that asks for more than another says nothing beside it.
    sets = [frozenset(row) for row in rows]
    kept = [
        row
        for n, row in enumerate(rows)
        if not any(
            sets[m] < sets[n] or (sets[m] == sets[n] and m < n)
            for m in range(len(rows))
        )
    ]
    return () if () in kept else tuple(kept)


def _statement(
    tell: Citations, bedside: Bedside, step: Step, day: date
) -> StatementText:
    details = [
        Detail("Only", f"{capital(condition_words(step.when, tell.book.policy))}.")
        if step.when
        else None,
        _time(tell, bedside, step, day),
        _used(bedside, step),
        Detail("The first time", step.says_first) if step.says_first else None,
        Detail("Look", step.look) if step.look else None,
        Detail("Charted", f"{capital(listed(list(step.charted)))}.")
        if step.charted
        else None,
    ]
    return StatementText(
        rule="",
        text=f"{step.id}. {WHO[step.actor]}: {step.says}",
        because=step.because,
        details=tuple(detail for detail in details if detail is not None),
        cites=(tell.cite(step.source, step.how),),
    )


def _time(tell: Citations, bedside: Bedside, step: Step, day: date) -> Detail | None:
    if step.seconds is None:
        return None
    if step.seconds in OF_THE_PLAN:
        return Detail("Time", OF_THE_PLAN[step.seconds])
    number = bedside.numbers[step.seconds]
    value = number.on(day)
    if value is None:
        return None
    words = value_words(value.value, number.unit)
    cite = tell.cite(value.source, value.how)
    return Detail("Time", f"At least {words}.", (cite,))


def _used(bedside: Bedside, step: Step) -> Detail | None:
    pieces = [
        f"{'the planned number of' if isinstance(count, str) else f'{count} ×'} "
        f"{_small(bedside.items[item].label)}"
        for item, count in step.uses
    ]
    return Detail("Uses", f"{capital(listed(pieces))}.") if pieces else None


def _small(label: str) -> str:
    return label[:1].lower() + label[1:]


LEAD = "A bundle counts as kept on a line only where every item that applies is kept."


def round_sections(tell: Citations) -> tuple[Section, ...]:
    """Return the chapter on line rounds; nothing where the set has no items."""
    items = tell.book.round_items
    if not items:
        return ()
    return (
        Section(
            "rounds",
            "What a line round looks at",
            LEAD,
            (
                ReadingPart("", tuple(_item(tell, live) for live in items)),
                ReadingPart(
                    "How many lines",
                    tuple(_plan(tell, live) for live in tell.book.round_plans),
                ),
            ),
        ),
    )


def _plan(tell: Citations, live: LiveRule[RoundPlan]) -> StatementText:
    rule = live.rule
    text = (
        f"As many as it takes to know a month's share to within "
        f"{tell.words(rule.half_width)} either way, where "
        f"{tell.words(rule.expected)} are expected."
    )
    who = tell.book.policy.sources[rule.flatters_source]
    details = [
        Detail("Who looked", f"{rule.flatters} ({who.title}, {who.year})"),
        Detail("Two people saw the same", f"Within {tell.words(rule.same_look)}."),
    ]
    numbers = (rule.half_width, rule.expected, rule.same_look)
    return tell.statement(live, text, details=details, numbers=numbers)


def _item(tell: Citations, live: LiveRule[RoundItem]) -> StatementText:
    rule = live.rule
    details = [Detail("Asked at the bed", rule.asks)]
    if rule.may_not_apply:
        details.append(Detail("Does not apply", f"Where {rule.may_not_apply}."))
    if rule.watched:
        details.append(Detail("Seen", "Only while somebody works on the line."))
    when = tell.when(live.when)
    if when:
        details.append(Detail("Asked about", f"When {when}."))
    return tell.statement(live, f"{capital(rule.label)}.", details=details)
