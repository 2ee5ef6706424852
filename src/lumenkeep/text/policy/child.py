"""A child that shows a fault, as a nurse would say it: age, weight, what is odd, what is unknown."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model import Child, Line, words
from lumenkeep.core.model.closed_facts import stated_once_in
from lumenkeep.core.policy.vocabulary import FACTS
from lumenkeep.text.policy.words import counted, listed, lower_first

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lumenkeep.core.model.closed_facts import Table

GRAMS_PER_KG = 1000
SAID_APART = frozenset(("skin_at_site", "site", "line_kind", "unit", "patency"))
"""Facts that have a sentence, or a part of one, of their own."""
A_DAY, AN_HOUR = timedelta(days=1), timedelta(hours=1)
A_MINUTE = timedelta(minutes=1)


def child_in_words(case: Mapping[str, Any], at: str, later: str | None = None) -> str:
    """Return a case as one or a few sentences.

    Parameters
    ----------
    case
        As a case file holds it.
    at, later
        The instant asked about, and a second one where the child grows (ISO).
    """
    child, line = case.get("child", {}), case.get("line", {})
    said = [
        f"A child {', '.join(_of_the_child(child, at))}.",
        *_of_the_site(child, line),
    ]
    if later is not None:
        weights = child.get("weights", [])
        grown = f" and {_mass(weights[-1]['g'])}" if len(weights) > 1 else ""
        said.append(f"Later {_age(child.get('born'), later)}{grown}.")
    missing = list(_missing(child, line))
    if missing:
        said.append(f"Not known: {listed(missing)}.")
    return " ".join(said)


def _of_the_child(child: Mapping[str, Any], at: str) -> Iterator[str]:
    yield _age(child.get("born"), at)
    weights = child.get("weights")
    yield f"of {_mass(weights[0]['g'])}" if weights else "of unknown weight"
    if "gestation_at_birth" in child:
        yield f"born at {child['gestation_at_birth']}"
    if "unit" in child:
        unit = child["unit"]
        yield "on a ward" if unit == "ward" else f"in {words.UNITS[unit].lower()}"


def _age(born: str | None, at: str) -> str:
    if born is None:
        return "of unknown age"
    asked = datetime.fromisoformat(at)
    if "T" not in born:
        days = (asked.date() - date.fromisoformat(born)).days
        return f"{counted(days, 'day')} old by the date, the time of birth not known"
    start = datetime.fromisoformat(born)
    years, since = _birthdays(start, asked)
    days, rest = divmod(asked - since, A_DAY)
    hours, minutes = rest // AN_HOUR, rest % AN_HOUR // A_MINUTE
    parts = [
        counted(count, noun)
        for count, noun in (
            (years, "year"), (days, "day"), (hours, "hour"), (minutes, "minute"),
        )
        if count
    ]  # fmt: skip
    return f"{listed(parts)} old" if parts else "just born"


def _birthdays(start: datetime, asked: datetime) -> tuple[int, datetime]:
    """Return the years of life, and the last birthday; a leap day's is the day before."""
    years = asked.year - start.year
    while years and _birthday(start, years) > asked:
        years -= 1
    return years, _birthday(start, years)


def _birthday(start: datetime, years: int) -> datetime:
    try:
        return start.replace(year=start.year + years)
    except ValueError:
        return start.replace(year=start.year + years, day=start.day - 1)


def _mass(grams: float) -> str:
    if grams < GRAMS_PER_KG * 10:
        return f"{grams:.10g} g"
    return f"{grams / GRAMS_PER_KG:.10g} kg"


def _of_the_site(child: Mapping[str, Any], line: Mapping[str, Any]) -> Iterator[str]:
    what = [
        lower_first(words.LINE_KINDS[line["kind"]]) if "kind" in line else "",
        lower_first(words.SITES[line["site"]]) if "site" in line else "",
        counted(line["lumens"], "lumen") if line.get("lumens", 1) > 1 else "",
    ]
    if any(what):
        told = ", ".join(one for one in what if one)
        yield f"{told[0].upper()}{told[1:]}."
    worn = line.get("dressing", {}).get("kind")
    if worn is not None:
        yield f"On it: {lower_first(words.DRESSINGS[worn])}."
    if child.get("skin_at_site") == "broken":
        yield "The skin at the site is broken."
    yield from _named(
        "Does not tolerate", child.get("sensitivities"), words.SENSITIVITIES
    )
    found = line.get("dressing", {}).get("findings")
    yield from _named("Found at the dressing", found, words.FINDINGS)
    if line.get("patency", "open") != "open":
        yield f"{words.PATENCY[line['patency']]}."
    yield from _unusual(child, Child)
    yield from _unusual(line, Line)


def _unusual(told: Mapping[str, Any], table: Table) -> Iterator[str]:
    """Yield each answer that is not as it mostly is, and that nothing else says."""
    for fact in stated_once_in(table):
        said = told.get(fact.attribute)
        if fact.name in SAID_APART or said in (None, fact.written(fact.usual)):
            continue
        word = {True: "yes", False: "no"}.get(said, said)
        yield f"{fact.label.capitalize()}: {fact.answers[word].lower()}."


def _named(head: str, found: Any, labels: Mapping[str, str]) -> Iterator[str]:
    if found:
        yield f"{head}: {listed([labels[one].lower() for one in found])}."


def _missing(child: Mapping[str, Any], line: Mapping[str, Any]) -> Iterator[str]:
    """Yield what is not charted, but what the sentence has said already."""
    there = {
        "sensitivities": "sensitivities" in child,
        "findings": "findings" in line.get("dressing", {}),
        "gestation_at_birth": "gestation_at_birth" in child,
        "lumens": "lumens" in line,
        **{fact.name: fact.attribute in child for fact in stated_once_in(Child)},
        **{fact.name: fact.attribute in line for fact in stated_once_in(Line)},
    }
    for fact, label in ((name, kind.label) for name, kind in FACTS.items()):
        if not there.get(fact, True):
            yield label
