"""Numbers and conditions of a policy in the words of the ward.

A comparison becomes a phrase that stands after "when"; a row joins its phrases with
"and", a rule its rows with "or when".
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model import CalendarSpan, Child, Elapsed, whole_or_not, words
from lumenkeep.core.model.closed_facts import CLOSED_FACTS
from lumenkeep.core.model.quantities import (
    DAYS_PER_WEEK,
    SECONDS_PER_DAY,
    SECONDS_PER_HOUR,
    SECONDS_PER_MINUTE,
)
from lumenkeep.core.policy.numbers import GESTATION_UNIT, MM_PER
from lumenkeep.core.policy.read_rules import BATHS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from datetime import date

    from lumenkeep.core.asepsis.when import Condition, When
    from lumenkeep.core.model.closed_facts import ClosedFact
    from lumenkeep.core.policy import LiveComparison, LiveWhen, Policy, RuleBook
    from lumenkeep.core.policy.numbers import Value

LETTERS_OF_A_SHORT_NAME = 2
CHILD_IS_SUBJECT = (
    "age",
    "gestation_at_birth",
    "postmenstrual_age",
    "mass",
    "sensitivities",
    *(fact.name for fact in CLOSED_FACTS if fact.whose == (Child,)),
)
"""Facts whose phrases have the child for their unspoken subject."""
CLOSED = {fact.name: fact for fact in CLOSED_FACTS}
SITE_PHRASES = {
    "femoral": "at the groin (femoral)",
    "internal-jugular": "at the neck (internal jugular)",
    "subclavian": "below the collarbone (subclavian)",
    "upper-arm": "in the upper arm",
    "lower-leg": "in the lower leg",
    "scalp": "in the scalp",
    "umbilical": "at the umbilicus",
    "chest": "in the chest",
}
UNIT_PHRASES = {
    "newborn-intensive-care": "in newborn intensive care",
    "intensive-care": "in intensive care",
    "ward": "on a ward",
}


def value_words(value: Value, unit: str) -> str:
    """Return a value with its unit in full words.

    Examples
    --------
    >>> value_words(Elapsed(604800), "h"), value_words(196, "weeks+days")
    ('168 hours (7 days)', '28 weeks 0 days')
    """
    if isinstance(value, Elapsed):
        return _elapsed_words(value.seconds)
    if isinstance(value, CalendarSpan):
        return str(value)
    if unit == GESTATION_UNIT:
        weeks, days = divmod(int(value), DAYS_PER_WEEK)
        return f"{counted(weeks, 'week')} {counted(days, 'day')}"
    if unit in MM_PER:
        return f"{value / MM_PER[unit]:g} {unit}"
    plain = whole_or_not(value)
    return str(plain) if unit == "count" else f"{plain} {_unit_sign(unit)}"


def _unit_sign(unit: str) -> str:
    return "%" if unit == "percent" else unit


def _elapsed_words(seconds: int) -> str:
    if seconds and seconds % SECONDS_PER_HOUR == 0:
        hours = counted(seconds // SECONDS_PER_HOUR, "hour")
        days, rest = divmod(seconds, SECONDS_PER_DAY)
        return f"{hours} ({days} days)" if days > 1 and not rest else hours
    if seconds and seconds % SECONDS_PER_MINUTE == 0:
        return counted(seconds // SECONDS_PER_MINUTE, "minute")
    return counted(seconds, "second")


def counted(number: int, noun: str) -> str:
    """Return a count with its noun, as in "1 day" and "2 days"."""
    return f"{number} {noun}{'' if number == 1 else 's'}"


def day_words(day: date) -> str:
    """Return a day in full, as in "1 March 2027"."""
    return f"{day.day} {day:%B %Y}"


def lower_first(text: str) -> str:
    """Return a label as it stands inside a sentence; a short name keeps its capitals."""
    if text[:LETTERS_OF_A_SHORT_NAME].isupper():
        return text
    return text[:1].lower() + text[1:]


def capital(text: str) -> str:
    """Return the text with a capital first letter."""
    return text[:1].upper() + text[1:]


def listed(parts: Sequence[str], last: str = "and") -> str:
    """Return parts as a list in a sentence.

    Examples
    --------
    >>> listed(["damp", "loose", "soiled"], "or")
    'damp, loose or soiled'
    """
    if len(parts) <= 1:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} {last} {parts[-1]}"


def item_words(policy: Policy, item: str) -> str:
    """Return what an antiseptic, dressing or bath is called inside a sentence."""
    if item in policy.agents:
        return lower_first(policy.agents[item].label)
    if item in words.DRESSINGS:
        return lower_first(words.DRESSINGS[item])
    return item.replace("-", " ") if item in BATHS else item


def when_words(when: LiveWhen, book: RuleBook) -> str:
    """Return a rule's condition as it stands after "when"; empty if it always holds."""
    return "; or when ".join(row_words(row, book) for row in when.rows)


def row_words(row: Sequence[LiveComparison], book: RuleBook) -> str:
    """Return one row, of which all must hold: first the child, then the line."""
    child = [comparison_words(c, book) for c in row if c.fact in CHILD_IS_SUBJECT]
    line = [comparison_words(c, book) for c in row if c.fact not in CHILD_IS_SUBJECT]
    parts = [listed(part) for part in (child, line) if part]
    return ", and ".join(parts)


def comparison_words(comparison: LiveComparison, book: RuleBook) -> str:
    """Return one comparison as a phrase about the child or the line."""
    limit = comparison.limit
    if isinstance(limit, frozenset):
        say = _WITH_WORDS.get(comparison.fact)
        if say is not None:
            return say(comparison.test, limit, book)
        return _closed(CLOSED[comparison.fact], comparison.test, limit)
    unit = book.policy.numbers[comparison.number or ""].unit
    pattern = _WITH_NUMBERS[comparison.fact][comparison.test]
    return pattern.format(value_words(limit, unit), lumens=_lumens(limit))


def _closed(fact: ClosedFact, test: str, named: frozenset[str]) -> str:
    """Return a comparison of a fact that has no phrases of its own here."""
    if fact.is_yes_no:
        return fact.phrase(is_yes=_is_yes(test, named))
    found = [lower_first(fact.answers[word]) for word in _ordered(named, fact.answers)]
    return f"{fact.label}: {_no(test)}{listed(found, 'or')}"


def _lumens(limit: Value) -> str:
    return "lumen" if limit == 1 else "lumens"


_WITH_NUMBERS = {
    "age": {"below": "younger than {}", "at_least": "at least {} old"},
    "gestation_at_birth": {
        "below": "born before {}",
        "at_least": "born at {} or later",
        "above": "born after {}",
        "at_most": "born at {} or earlier",
    },
    "postmenstrual_age": {
        "below": "at a postmenstrual age below {}",
        "at_least": "at a postmenstrual age of {} or more",
        "above": "at a postmenstrual age above {}",
        "at_most": "at a postmenstrual age of {} or less",
    },
    "mass": {
        "below": "lighter than {}",
        "at_least": "weighing {} or more",
        "above": "heavier than {}",
        "at_most": "weighing {} or less",
    },
    "lumens": {
        "below": "the line has fewer than {} {lumens}",
        "at_least": "the line has {} {lumens} or more",
        "above": "the line has more than {} {lumens}",
        "at_most": "the line has {} {lumens} or fewer",
    },
}


def _sensitivities(test: str, named: frozenset[str], book: RuleBook) -> str:
    del book
    known = [
        lower_first(words.SENSITIVITIES[w])
        for w in _ordered(named, words.SENSITIVITIES)
    ]
    if test == "includes_all":
        return f"sensitive to {listed(known)}"
    if test == "lacks":
        return f"not sensitive to {listed(known, 'or')}"
    return f"sensitive to {listed(known, 'or')}"


def _findings(test: str, named: frozenset[str], book: RuleBook) -> str:
    del book
    found = [lower_first(words.FINDINGS[w]) for w in _ordered(named, words.FINDINGS)]
    if test == "includes_all":
        return f"the dressing or its site is {listed(found)}"
    if test == "lacks":
        return f"the dressing or its site is not {listed(found, 'or')}"
    return f"the dressing or its site is {listed(found, 'or')}"


def _skin(test: str, named: frozenset[str], book: RuleBook) -> str:
    del book
    found = [lower_first(words.SKIN[w]) for w in _ordered(named, words.SKIN)]
    return f"the skin at the site is {_no(test)}{listed(found, 'or')}"


def _site(test: str, named: frozenset[str], book: RuleBook) -> str:
    del book
    places = listed([SITE_PHRASES[w] for w in _ordered(named, words.SITES)], "or")
    verb = "enters" if test == "is" else "does not enter"
    return f"the line {verb} {places}"


def _line_kind(test: str, named: frozenset[str], book: RuleBook) -> str:
    del book
    kinds = [
        _a(lower_first(words.LINE_KINDS[w])) for w in _ordered(named, words.LINE_KINDS)
    ]
    return f"the line is {_no(test)}{listed(kinds, 'or')}"


def _unit(test: str, named: frozenset[str], book: RuleBook) -> str:
    del book
    places = listed([UNIT_PHRASES[w] for w in _ordered(named, words.UNITS)], "or")
    return f"{'lying' if test == 'is' else 'not lying'} {places}"


def _is_yes(test: str, named: frozenset[str]) -> bool:
    return ("yes" in named) is (test == "is")


def _patency(test: str, named: frozenset[str], book: RuleBook) -> str:
    del book
    found = [lower_first(words.PATENCY[w]) for w in _ordered(named, words.PATENCY)]
    return f"of the line it is {_no(test)}so that {listed(found, 'or')}"


def _dressing(test: str, named: frozenset[str], book: RuleBook) -> str:
    kinds = [
        _piece(item_words(book.policy, w)) for w in _ordered(named, words.DRESSINGS)
    ]
    return f"the dressing is {_no(test)}{listed(kinds, 'or')}"


def _set_kind(test: str, named: frozenset[str], book: RuleBook) -> str:
    del book
    kinds = [lower_first(words.SET_KINDS[w]) for w in _ordered(named, words.SET_KINDS)]
    verb = "carries" if test == "is" else "does not carry"
    return f"the set {verb} {listed(kinds, 'or')}"


def _agent(test: str, named: frozenset[str], book: RuleBook) -> str:
    order = [*book.policy.antiseptics, *book.policy.agents]
    known = [item_words(book.policy, w) for w in sorted(named, key=order.index)]
    return f"the antiseptic is {_no(test)}{listed(known, 'or')}"


def _no(test: str) -> str:
    return "" if test == "is" else "not "


def _piece(dressing: str) -> str:
    """Return a dressing with its article; gauze is a stuff and has none."""
    return dressing if dressing.startswith("gauze") else _a(dressing)


def _a(noun: str) -> str:
    return f"{'an' if noun[:1] in 'aeiou' else 'a'} {noun}"


def _ordered(named: frozenset[str], closed: Iterable[str]) -> list[str]:
    """Return words in the order of their closed list, so that a text stays the same."""
    return sorted(named, key=list(closed).index)


_WITH_WORDS: dict[str, Callable[[str, frozenset[str], RuleBook], str]] = {
    "sensitivities": _sensitivities,
    "findings": _findings,
    "skin_at_site": _skin,
    "site": _site,
    "line_kind": _line_kind,
    "unit": _unit,
    "patency": _patency,
    "dressing": _dressing,
    "set_kind": _set_kind,
    "agent": _agent,
}


PHRASES: dict[tuple[str, str], str] = {
    ("motion", "back-and-forth"): "where the antiseptic is rubbed in back and forth",
    ("motion", "outward-circles"): "where the antiseptic goes on in circles outward",
    ("residue", "yes"): "where what is left of the antiseptic is taken off again",
    ("residue", "no"): "where the plan takes nothing off again",
    ("soil", "yes"): "where crust, blood or glue is on it",
    ("soil", "no"): "where it is clean",
    ("securement", "change"): "where a new securement is put on",
    ("securement", "keep"): "where the securement stays",
    ("technique", "sterile"): "where it is done with masks, field and sterile gloves",
    ("technique", "non-touch"): "where it is done in clean gloves without touch",
    ("masks", "child-too"): "with a child old enough for a mask",
    ("masks", "not-the-child"): "with a child too young for a mask",
}
NOT_PHRASES: dict[tuple[str, str], str] = {
    ("unit", "newborn-intensive-care"): "outside newborn intensive care",
}

REST_PHRASES = {
    "site": "at another site, or where the site is not known",
    "worn": "where it is not known what the old dressing is",
}


def condition_words(when: When, policy: Policy) -> str:
    """Return conditions as a phrase; rows joined with "or", in a row with "and"."""
    rows = [" and ".join(_one(c, policy) for c in row) for row in when]
    return ", or ".join(rows)


def _one(condition: Condition, policy: Policy) -> str:
    fact, chosen = condition.fact, sorted(condition.words)
    if not condition.wanted:
        if len(chosen) > 1 and fact in REST_PHRASES:
            return REST_PHRASES[fact]
        whole = NOT_PHRASES.get((fact, chosen[0])) if len(chosen) == 1 else None
        return whole or f"not {_phrase(fact, chosen, policy)}"
    return _phrase(fact, chosen, policy)


def _phrase(fact: str, chosen: list[str], policy: Policy) -> str:
    if (fact, chosen[0]) in PHRASES:
        return listed([PHRASES[fact, word] for word in chosen], "or")
    if fact == "site":
        places = [SITE_PHRASES.get(word, word) for word in chosen]
        return f"where the line enters {listed(places, 'or')}"
    if fact == "unit":
        return listed([UNIT_PHRASES.get(word, word) for word in chosen], "or")
    if fact == "findings":
        named = [words.FINDINGS.get(word, word).lower() for word in chosen]
        return f"where the dressing is {listed(named, 'or')}"
    named = [item_words(policy, word) for word in chosen]
    before = {
        "agent": "with",
        "dressing": "where the new dressing is",
        "worn": "where the old dressing is",
    }.get(fact, f"where {fact} is")
    return f"{before} {listed(named, 'or')}"
