"""The chapters about watching a line: lengths, scales, and who acts on what is found."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model.signs import SIGNS
from lumenkeep.core.policy.watch_rules import WHO
from lumenkeep.text.policy.care import if_words
from lumenkeep.text.policy.parts import (
    Citations,
    Detail,
    ReadingPart,
    Section,
    StatementText,
)
from lumenkeep.text.policy.words import capital, listed, lower_first

if TYPE_CHECKING:
    from lumenkeep.core.policy import LiveRule
    from lumenkeep.core.policy.watch_rules import (
        ConcernRule,
        LengthLimit,
        Measuring,
        Scale,
    )

LENGTH_LEAD = (
    "No published number says how much change of external length matters: these are the "
    "hospital’s own. An unchanged length proves nothing about the tip."
)


def watch_sections(tell: Citations) -> tuple[Section, ...]:
    """Return the chapters on lengths, scales and concerns."""
    book = tell.book
    return (
        Section(
            "lengths",
            "When a change of length is a shift",
            LENGTH_LEAD,
            (
                ReadingPart(
                    "At once", tuple(_limit(tell, one) for one in book.length_limits)
                ),
                ReadingPart(
                    "Beside them", tuple(_error(tell, one) for one in book.measuring)
                ),
            ),
        ),
        Section(
            "scales",
            "How a site is graded",
            "",
            (ReadingPart("", tuple(_scale(tell, one) for one in book.scales)),),
        ),
        Section(
            "concerns",
            "Who acts on what is found, and by when",
            "",
            (ReadingPart("", tuple(_concern(tell, one) for one in book.concerns)),),
        ),
    )


def _limit(tell: Citations, live: LiveRule[LengthLimit]) -> StatementText:
    rule = live.rule
    number = rule.at_least or rule.above or ""
    how = "at least" if rule.at_least else "more than"
    way = {"either": "outward or inward"}.get(rule.direction, rule.direction)
    when = if_words(tell, live.when, "")
    text = capital(
        f"{f'{when}: ' if when else ''}a change of {how} {tell.words(number)} {way}, "
        "the arm alike, raises a concern at the first measurement."
    )
    return tell.statement(live, text, numbers=(number,))


def _error(tell: Citations, live: LiveRule[Measuring]) -> StatementText:
    rule = live.rule
    when = if_words(tell, live.when, "")
    within = (
        f"within {tell.words(rule.over)} measurements" if rule.over else "however often"
    )
    text = capital(
        f"{f'{when}: ' if when else ''}a measurement is taken to be off by "
        f"{tell.words(rule.error)} (standard deviation), and a smaller change counts as "
        f"a shift once measuring error alone would call at most "
        f"{tell.words(rule.false_alarm)} of still lines moved, {within}."
    )
    arm = "Not compared with the others."
    if rule.other_arm:
        arm = f"Compared with {tell.words(rule.other_arm)} more of error."
    arm += f" {rule.arm_note}" if rule.arm_note else ""
    details = [
        Detail("Measured with the arm otherwise", arm),
        Detail(
            "Taken for granted",
            f"A line that moves goes {tell.words(rule.usual_move)} or so, and "
            f"{tell.words(rule.moves)} of lines have moved from one measurement to the "
            "next.",
        ),
    ]
    if rule.asks:
        asked = (
            "A first length that is more than error usually makes asks for a second "
            "one, by another person with the arm the same, before a line is stopped: "
            f"after at most {tell.words(rule.asks)} of the measurements of still lines."
        )
        details.append(Detail("Measured again", asked))
    if rule.pair_within:
        pair = (
            f"Two lengths by two people within {tell.words(rule.pair_within)}, the arm "
            "alike, tell how exactly the ward measures."
        )
        details.append(Detail("Measured twice", pair))
    numbers = (
        rule.error,
        rule.other_arm,
        rule.usual_move,
        rule.moves,
        rule.false_alarm,
        rule.over,
        rule.asks,
        rule.pair_within,
    )
    named = [number for number in numbers if number]
    return tell.statement(live, text, details=details, numbers=named)


def _scale(tell: Citations, live: LiveRule[Scale]) -> StatementText:
    rule = live.rule
    grades = listed([f"{one.grade}: {one.says}" for one in rule.grades], "and")
    text = f"{rule.label}: {rule.lowest} to {rule.highest}."
    details = [
        Detail("Grades", f"From {grades}."),
        Detail("Made for", f"{capital(rule.population)}."),
    ]
    when = tell.when(live.when)
    if when:
        details.append(Detail("Asked", f"When {when}."))
    return tell.statement(live, text, details=details)


def _concern(tell: Citations, live: LiveRule[ConcernRule]) -> StatementText:
    rule = live.rule
    text = (
        f"{rule.label}: {WHO[rule.who]} acts within {tell.words(rule.act_within)}; "
        f"overdue, it goes to {WHO[rule.then]} too."
    )
    details = [
        Detail("Raised by", f"{_signs(tell, rule)}."),
        Detail("To do", rule.asks),
        Detail(
            "Settled", f"Within {tell.words(rule.settle_within)} of being taken on."
        ),
    ]
    if rule.hold:
        details.insert(
            1, Detail("Until then", f"Do not use the line until {rule.hold}.")
        )
    when = tell.when(live.when)
    if when:
        details.append(Detail("For whom", f"When {when}."))
    numbers = (
        rule.act_within,
        rule.settle_within,
        rule.grade_at_least,
        rule.rise_at_least,
    )
    named = [number for number in numbers if number]
    return tell.statement(live, text, details=details, numbers=named)


def _signs(tell: Citations, rule: ConcernRule) -> str:
    signs = [lower_first(SIGNS[sign]) for sign in rule.signs if sign != "grade"]
    if rule.scale and rule.grade_at_least:
        labels = {scale.id: scale.label for scale in tell.book.policy.scales}
        signs.append(
            f"{lower_first(labels[rule.scale])}, grade {tell.words(rule.grade_at_least)} "
            "or more"
        )
    said = listed(signs, "or")
    if rule.rise_at_least:
        said += f", by {tell.words(rule.rise_at_least)} or more, with swelling"
    return capital(said)
