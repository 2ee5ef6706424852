"""The chapters around the change: people, things, what is charted, what is required."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.planning.sentence import NUMBERS
from lumenkeep.core.policy import LiveRule
from lumenkeep.core.policy.numbers import value_in_words
from lumenkeep.core.policy.vocabulary import tasks
from lumenkeep.text.policy.care import ALWAYS, if_words
from lumenkeep.text.policy.parts import (
    Citations,
    Detail,
    DisputeText,
    ReadingPart,
    Section,
    SourceSays,
    StatementText,
)
from lumenkeep.text.policy.restated import span_in_words
from lumenkeep.text.policy.words import capital, item_words, listed, lower_first

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from lumenkeep.core.policy.bounds import Bound
    from lumenkeep.core.policy.rules import (
        ChartField,
        Disagreement,
        Floor,
        KitItem,
        Note,
        Plausible,
        Requirement,
        Staffing,
        Supply,
    )
    from lumenkeep.core.policy.sane import Sane

VERDICT_WORDS = {"plan": "a plan", "ask": "a question first", "stop": "stop and call"}
FIELD_WORDS = {
    "instant": "day and time",
    "choice": "one of a list",
    "length": "a length",
    "count": "a number",
    "text": "in words",
    "yes-no": "yes or no",
}


def rest_sections(tell: Citations) -> tuple[Section, ...]:
    """Return the chapters from the people to what is required of any answer."""
    return (
        _people(tell),
        _things(tell),
        _charted(tell),
        _cautions(tell),
        _required(tell),
    )


def _people(tell: Citations) -> Section:
    def one(live: LiveRule[Staffing]) -> StatementText:
        rule = live.rule
        details = [
            Detail(role.label, f"{role.does} Gloves: {role.gloves}.")
            for role in rule.roles
        ]
        when = if_words(tell, live.when, "")
        many = tell.words(rule.staff)
        number = int(many)
        many = NUMBERS[number].lower() if number < len(NUMBERS) else many
        text = capital(
            f"{f'{when}: ' if when else ''}{many} people; everyone within "
            f"{tell.words(rule.masks_within)} wears a mask."
        )
        numbers = (rule.staff, rule.masks_within)
        return tell.statement(live, text, details=details, numbers=numbers)

    found = tuple(one(live) for live in tell.book.staffing)
    return Section("people", "People and masks", "", (ReadingPart("", found),))


def _things(tell: Citations) -> Section:
    supplies = tell.book.policy.supplies
    labels = {supply.item: supply.label for supply in supplies}
    laid_out = tuple(_supply(tell, live) for live in tell.book.supplies)
    kit = tuple(_kit_item(tell, item, labels) for item in tell.book.policy.kit)
    lead = (
        "Nothing can be fetched once the field is open: what may be needed lies ready."
    )
    return Section(
        "things",
        "What is laid out",
        lead,
        (
            ReadingPart("Laid out", laid_out),
            ReadingPart("Already in the change kit", kit),
        ),
    )


def _supply(tell: Citations, live: LiveRule[Supply]) -> StatementText:
    rule = live.rule
    text = f"{tell.words(rule.count)} × {lower_first(rule.label)}"
    when = tell.when(live.when)
    text += f", when {when}." if when else "."
    details = []
    if rule.size_of:
        details.append(Detail("Size", f"The {rule.size_of}’s."))
    return tell.statement(live, text, details=details, numbers=(rule.count,))


def _kit_item(tell: Citations, rule: KitItem, labels: dict[str, str]) -> StatementText:
    label = lower_first(labels.get(rule.item, rule.item.replace("-", " ")))
    size = f", size {rule.size}" if rule.size else ""
    text = f"{tell.words(rule.count)} × {label}{size}."
    live = LiveRule(rule, ALWAYS)
    return tell.statement(live, text, because=False, numbers=(rule.count,))


def _charted(tell: Citations) -> Section:
    found = tuple(_field(tell, live) for live in tell.book.chart_fields)
    return Section(
        "charted", "What is charted afterwards", "", (ReadingPart("", found),)
    )


def _field(tell: Citations, live: LiveRule[ChartField]) -> StatementText:
    rule = live.rule
    must = "must be charted" if rule.required else "may be charted"
    when = tell.when(live.when)
    text = f"{rule.label}: {must}{f' when {when}' if when else ''}."
    form = FIELD_WORDS[rule.kind]
    if rule.choices:
        form = listed(rule.choices, "or")
    numbers = [n for n in (rule.low, rule.high) if n]
    if rule.low and rule.high:
        form += f", from {tell.words(rule.low)} to {tell.words(rule.high)}"
    details = [Detail("Form", f"{capital(form)}.")]
    return tell.statement(live, text, details=details, numbers=numbers)


def _cautions(tell: Citations) -> Section:
    def one(live: LiveRule[Note]) -> StatementText:
        when = tell.when(live.when)
        details = [Detail("For whom", f"When {when}.")] if when else []
        return tell.statement(live, live.rule.because, because=False, details=details)

    def of(kind: str) -> tuple[StatementText, ...]:
        return tuple(one(live) for live in tell.book.notes if live.rule.kind == kind)

    return Section(
        "cautions",
        "Cautions, and what to look at",
        "None of these bars anything: they stand beside the plan of the children whom "
        "they concern.",
        (ReadingPart("Cautions", of("caution")), ReadingPart("To look at", of("look"))),
    )


def _required(tell: Citations) -> Section:
    required = tuple(_requirement(tell, live) for live in tell.book.requirements)
    floors = tuple(_floor(tell, floor) for floor in tell.book.policy.floors)
    sane = tuple(_sane(tell, rule) for rule in tell.book.policy.sane)
    plausible = tuple(_plausible(tell, live) for live in tell.book.plausible)
    bounds = tuple(_bound(tell, bound) for bound in tell.book.policy.bounds.values())
    return Section(
        "required",
        "What is required of any answer",
        "Written a second time, apart from the rules that give the answer, and proved "
        "for every child, so that a slip in a limit is caught first.",
        (
            ReadingPart("Of the answer", required),
            ReadingPart("Of the numbers: never less than this", floors),
            ReadingPart("Between what a number can sanely be", sane),
            ReadingPart("What is taken for impossible", plausible),
            ReadingPart("What cannot be at all, at any hospital", bounds),
        ),
    )


def _requirement(tell: Citations, live: LiveRule[Requirement]) -> StatementText:
    rule = live.rule
    when = if_words(tell, live.when, "")
    claims = listed(_claims(tell, rule))
    text = capital(f"{when}{': ' if when else ''}{claims}.")
    details = []
    if rule.if_charted:
        details.append(Detail("Only", "Where all of this is charted."))
    numbers = (
        rule.strength_at_most,
        rule.scrub_at_least,
        rule.scrub_at_most,
        rule.dry_at_least,
        rule.swabs_at_least,
        rule.staff_at_least,
        rule.stays_at_least,
        rule.stays_at_most,
        rule.rests_at_least,
        rule.film_at_most,
        rule.weighing_at_most,
    )
    named = [number for number in numbers if number]
    return tell.statement(live, text, details=details, numbers=named)


def _claims(tell: Citations, rule: Requirement) -> list[str]:
    def items(named: tuple[str, ...]) -> str:
        return listed([item_words(tell.book.policy, item) for item in named], "or")

    claims: tuple[tuple[Any, str, Callable[[Any], str]], ...] = (
        (rule.agent, "the antiseptic is {}", items),
        (rule.not_agent, "the antiseptic is never {}", items),
        (rule.not_holding, "the antiseptic never holds {}", listed),
        (rule.barred, "there is no {}", items),
        (rule.strength_at_most, "the antiseptic is of at most {}", tell.words),
        (rule.dressing, "the dressing is {}", items),
        (rule.not_dressing, "the dressing is never {}", items),
        (rule.verdict, "the answer is {}", _verdicts),
        (rule.scrub_at_least, "the scrub takes at least {}", tell.words),
        (rule.scrub_at_most, "the scrub takes no longer than {}", tell.words),
        (rule.dry_at_least, "it dries for at least {}", tell.words),
        (rule.swabs_at_least, "the swabs are at least {}", tell.words),
        (rule.film_at_most, "the film is no larger than {}", tell.words),
        (rule.weighing_at_most, "a weighing counts no longer than {}", tell.words),
        (
            rule.staff_at_least,
            "the people at the bedside are at least {}",
            tell.words,
        ),
    )
    found = [text.format(say(named)) for named, text, say in claims if named]
    if rule.residue_removed:
        found.append("what is left on the skin is taken off")
    return [*found, *_due_claims(tell, rule)]


def _due_claims(tell: Citations, rule: Requirement) -> list[str]:
    """Return what is required of the time of a task."""
    found = []
    if rule.at_once:
        found.append("at once")
    if rule.not_at_once:
        found.append("never at once")
    if rule.nothing_due:
        found.append("not at all")
    if rule.no_clock:
        found.append("at no fixed time")
    if rest := rule.rests_at_least:
        found.append(f"no sooner again than after {tell.words(rest)}")
    if least := rule.stays_at_least:
        found.append(f"not before {tell.words(least)}")
    if rule.stays_at_most:
        found.append(f"after {tell.words(rule.stays_at_most)} at most")
    task = rule.task or "dressing"
    return [f"{tasks()[task].due_phrase} {listed(found)}"] if found else []


def _verdicts(named: tuple[str, ...]) -> str:
    return listed([VERDICT_WORDS[word] for word in named], "or")


def _floor(tell: Citations, rule: Floor) -> StatementText:
    least = tell.words(rule.at_least)
    more = "more than" if rule.strictly else "at least"
    number = tell.book.policy.numbers.get(rule.number)
    if number is None:
        text = (
            f"{capital(rule.number.replace('-', ' '))}: {more} {least}. Not named here."
        )
        named: tuple[str, ...] = (rule.at_least,)
    else:
        here = tell.words(rule.number)
        text = f"{capital(number.means)}: {more} {least}; here {here}."
        named = (rule.at_least, rule.number)
    return tell.statement(LiveRule(rule, ALWAYS), text, numbers=named)


def _sane(tell: Citations, rule: Sane) -> StatementText:
    kind, _, key = rule.of.partition(".")
    part = f"{kind.replace('_', ' ')}, {key.replace('_', ' ').replace('-', ' ')}"
    ends = [
        f"{word} {tell.words(number)}"
        for word, number in (("at least", rule.low), ("at most", rule.high))
        if number
    ]
    of = f" ({listed(rule.which)})" if rule.which else ""
    without = f" without {listed(rule.not_which, 'or')}" if rule.not_which else ""
    text = f"{capital(part)}{of}{without}: {listed(ends)}."
    numbers = [number for number in (rule.low, rule.high) if number]
    return tell.statement(LiveRule(rule, ALWAYS), text, numbers=numbers)


def _plausible(tell: Citations, live: LiveRule[Plausible]) -> StatementText:
    rule = live.rule
    text = (
        f"{if_words(tell, live.when)}: a {rule.fact} below {tell.words(rule.at_least)} "
        f"is not believed of a child whose {rule.fact} nobody charted."
    )
    return tell.statement(live, text, numbers=(rule.at_least,))


def _bound(tell: Citations, bound: Bound) -> StatementText:
    named = capital(bound.id.removesuffix(f"-{bound.unit.lower()}").replace("-", " "))
    text = f"{named}: {span_in_words(bound)}."
    details = [
        Detail(
            f"From {band.days} days of age",
            f"{value_in_words(band.low, bound.unit)} to "
            f"{value_in_words(band.high, bound.unit)}.",
        )
        for band in bound.bands
    ]
    return tell.statement(LiveRule(bound, ALWAYS), text, details=details)


def disputes(tell: Citations) -> tuple[DisputeText, ...]:
    """Return every point on which published guidance disagrees, with who says what."""
    return tuple(_dispute(tell, live) for live in tell.book.disagreements)


def _dispute(tell: Citations, live: LiveRule[Disagreement]) -> DisputeText:
    rule = live.rule
    said = tuple(SourceSays(tell.cite(p.source, None), p.says) for p in rule.positions)
    numbers = [c.number for row in live.when.rows for c in row if c.number]
    return DisputeText(
        rule=rule.id,
        topic=rule.topic,
        because=rule.because,
        when=tell.when(live.when),
        said=said,
        cites=tell.of_numbers(*numbers),
    )
