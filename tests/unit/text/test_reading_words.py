"""Each comparison and value in the words of the ward."""

from __future__ import annotations

from datetime import date

import pytest

from lumenkeep.core.model import CalendarSpan, Elapsed, Line, words
from lumenkeep.core.model.closed_facts import ClosedFact
from lumenkeep.core.policy import LiveWhen, RuleBook, load_policy
from lumenkeep.core.policy.conditions import Comparison, LiveComparison, live
from lumenkeep.core.policy.vocabulary import FACTS
from lumenkeep.text.policy.words import (
    CLOSED,
    SITE_PHRASES,
    UNIT_PHRASES,
    comparison_words,
    day_words,
    item_words,
    listed,
    lower_first,
    row_words,
    value_words,
    when_words,
)

BOOK: RuleBook = load_policy("quillmere").on(date(2026, 11, 25))
NUMBERS = {
    "age": "chg-gestation-ends",
    "gestation_at_birth": "chg-gestation",
    "postmenstrual_age": "chg-gestation",
    "mass": "chg-mass",
    "lumens": "chg-swabs",
}


def said(fact: str, test: str, *named: str) -> str:
    return comparison_words(compared(fact, test, *named), BOOK)


def compared(fact: str, test: str, *named: str) -> LiveComparison:
    number = None if named else NUMBERS[fact]
    written = Comparison(fact, test, number, named)
    return live(written, BOOK.value(number) if number else None)


@pytest.mark.parametrize(
    ("fact", "test", "words_"),
    [
        ("age", "below", "younger than 2 calendar months"),
        ("age", "at_least", "at least 2 calendar months old"),
        ("gestation_at_birth", "below", "born before 28 weeks 0 days"),
        ("gestation_at_birth", "at_least", "born at 28 weeks 0 days or later"),
        ("gestation_at_birth", "above", "born after 28 weeks 0 days"),
        ("gestation_at_birth", "at_most", "born at 28 weeks 0 days or earlier"),
        ("postmenstrual_age", "below", "at a postmenstrual age below 28 weeks 0 days"),
        (
            "postmenstrual_age",
            "at_least",
            "at a postmenstrual age of 28 weeks 0 days or more",
        ),
        ("postmenstrual_age", "above", "at a postmenstrual age above 28 weeks 0 days"),
        (
            "postmenstrual_age",
            "at_most",
            "at a postmenstrual age of 28 weeks 0 days or less",
        ),
        ("mass", "below", "lighter than 1000 g"),
        ("mass", "at_least", "weighing 1000 g or more"),
        ("mass", "above", "heavier than 1000 g"),
        ("mass", "at_most", "weighing 1000 g or less"),
        ("lumens", "below", "the line has fewer than 3 lumens"),
        ("lumens", "at_least", "the line has 3 lumens or more"),
        ("lumens", "above", "the line has more than 3 lumens"),
        ("lumens", "at_most", "the line has 3 lumens or fewer"),
    ],
)
def test_a_comparison_with_a_number(fact: str, test: str, words_: str) -> None:
    assert said(fact, test) == words_


@pytest.mark.parametrize(
    ("fact", "test", "named", "words_"),
    [
        ("sensitivities", "includes", ("iodine",), "sensitive to iodine"),
        (
            "sensitivities",
            "includes",
            ("iodine", "chlorhexidine"),
            "sensitive to chlorhexidine or iodine",
        ),
        (
            "sensitivities",
            "includes_all",
            ("iodine", "chlorhexidine"),
            "sensitive to chlorhexidine and iodine",
        ),
        (
            "sensitivities",
            "lacks",
            ("alcohol", "chlorhexidine"),
            "not sensitive to chlorhexidine or alcohol",
        ),
        (
            "findings",
            "includes",
            ("soiled", "damp", "loose"),
            "the dressing or its site is damp, loose or soiled",
        ),
        (
            "findings",
            "includes_all",
            ("damp", "bleeding"),
            "the dressing or its site is damp and bleeding or oozing",
        ),
        ("findings", "lacks", ("damp",), "the dressing or its site is not damp"),
        ("skin_at_site", "is", ("broken",), "the skin at the site is broken"),
        ("skin_at_site", "is_not", ("intact",), "the skin at the site is not intact"),
        ("site", "is", ("femoral",), "the line enters at the groin (femoral)"),
        (
            "site",
            "is_not",
            ("scalp", "chest"),
            "the line does not enter in the scalp or in the chest",
        ),
        ("line_kind", "is", ("port",), "the line is an implanted port"),
        (
            "line_kind",
            "is_not",
            ("picc", "tunnelled"),
            "the line is not a tunnelled central line or a PICC",
        ),
        (
            "unit",
            "is",
            ("newborn-intensive-care",),
            "lying in newborn intensive care",
        ),
        ("unit", "is_not", ("ward",), "not lying on a ward"),
        (
            "dressing",
            "is",
            ("gauze", "transparent"),
            "the dressing is a clear film or gauze",
        ),
        ("dressing", "is_not", ("gauze",), "the dressing is not gauze"),
        ("set_kind", "is", ("lipid",), "the set carries lipid"),
        ("set_kind", "is_not", ("blood",), "the set does not carry blood"),
        ("agent", "is", ("povidone-iodine",), "the antiseptic is povidone-iodine"),
        (
            "agent",
            "is_not",
            ("alcohol-70", "chlorhexidine-alcohol"),
            (
                "the antiseptic is not chlorhexidine 2 % in alcohol or "
                "70 % isopropyl alcohol"
            ),
        ),
    ],
)
def test_a_comparison_with_words(
    fact: str, test: str, named: tuple[str, ...], words_: str
) -> None:
    assert said(fact, test, *named) == words_


def test_every_fact_and_test_of_the_language_can_be_said() -> None:
    for fact, kind in FACTS.items():
        for test in kind.tests:
            allowed = kind.allowed or {"povidone-iodine": ""}
            named = () if kind.family else (next(iter(allowed)),)
            assert said(fact, test, *named)


def test_every_site_and_unit_has_its_phrase() -> None:
    assert set(SITE_PHRASES) == set(words.SITES)
    assert set(UNIT_PHRASES) == set(words.UNITS)


def test_a_row_tells_the_child_first_and_then_the_line() -> None:
    row = (
        compared("agent", "is", "povidone-iodine"),
        compared("gestation_at_birth", "below"),
        compared("age", "below"),
    )

    assert row_words(row, BOOK) == (
        "born before 28 weeks 0 days and younger than 2 calendar months, "
        "and the antiseptic is povidone-iodine"
    )


def test_rows_are_alternatives() -> None:
    rows = ((compared("mass", "below"),), (compared("age", "below"),))

    assert when_words(LiveWhen(rows), BOOK) == (
        "lighter than 1000 g; or when younger than 2 calendar months"
    )
    assert when_words(LiveWhen(()), BOOK) == ""


@pytest.mark.parametrize(
    ("value", "unit", "words_"),
    [
        (Elapsed(10), "s", "10 seconds"),
        (Elapsed(1), "s", "1 second"),
        (Elapsed(0), "s", "0 seconds"),
        (Elapsed(90), "s", "90 seconds"),
        (Elapsed(60), "min", "1 minute"),
        (Elapsed(120), "s", "2 minutes"),
        (Elapsed(86400), "h", "24 hours"),
        (Elapsed(345600), "h", "96 hours (4 days)"),
        (CalendarSpan(0, 7), "calendar-days", "7 days"),
        (CalendarSpan(12, 0), "calendar-years", "1 year"),
        (197, "weeks+days", "28 weeks 1 day"),
        (900.0, "m", "0.9 m"),
        (51.0, "mm", "51 mm"),
        (0.5, "percent", "0.5 %"),
        (1000, "g", "1000 g"),
        (3, "count", "3"),
    ],
)
def test_a_value_with_its_unit(value: object, unit: str, words_: str) -> None:
    assert value_words(value, unit) == words_  # type: ignore[arg-type]


def test_small_words() -> None:
    assert day_words(date(2027, 3, 1)) == "1 March 2027"
    assert lower_first("PICC") == "PICC"
    assert lower_first("Gauze") == "gauze"
    assert listed([]) == ""
    assert item_words(BOOK.policy, "chlorhexidine-bath") == "chlorhexidine bath"
    assert item_words(BOOK.policy, "gauze") == "gauze"


@pytest.mark.parametrize(("test", "word"), [("is", "yes"), ("is_not", "no")])
def test_a_yes_or_no_without_words_of_its_own_is_said_by_its_name(
    monkeypatch, test, word
) -> None:
    kinked = ClosedFact(
        "kinked",
        (Line,),
        "line kinked",
        words.YES_NO,
        "Is it kinked?",
        ("Whether it is kinked.",),
        usual="no",
        charted_in="line-use",
    )
    monkeypatch.setitem(CLOSED, "kinked", kinked)
    one = LiveComparison("kinked", test, frozenset({"yes"}), None, bool)

    assert comparison_words(one, BOOK) == f"line kinked: {word}"
