"""The chapter about line rounds: what is looked at, and how many lines it takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.text.policy.parts import Citations, Detail, Part, Section, Statement
from lumenkeep.text.policy.words import capital

if TYPE_CHECKING:
    from lumenkeep.core.policy import LiveRule
    from lumenkeep.core.policy.round_rules import RoundItem, RoundPlan

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
                Part("", tuple(_item(tell, live) for live in items)),
                Part(
                    "How many lines",
                    tuple(_plan(tell, live) for live in tell.book.round_plans),
                ),
            ),
        ),
    )


def _plan(tell: Citations, live: LiveRule[RoundPlan]) -> Statement:
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


def _item(tell: Citations, live: LiveRule[RoundItem]) -> Statement:
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
