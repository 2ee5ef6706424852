"""A sentence's numbers come from the rule, or the set is refused with the place."""

from __future__ import annotations

import shutil
from datetime import date
from typing import TYPE_CHECKING

import pytest

from lumenkeep.core.policy import load_policy, shipped_sets
from lumenkeep.core.policy.files import SHIPPED_FOLDER
from lumenkeep.core.policy.numbers import DatedValue, Number, read_value
from lumenkeep.core.policy.rule_texts import own_numbers, sentences_of
from lumenkeep.core.policy.sentences import fill, places_in, said, stray_number
from lumenkeep.errors import PolicyError

if TYPE_CHECKING:
    from pathlib import Path

    from lumenkeep.core.policy import Policy

DAY = date(2026, 3, 5)


def number(unit: str, raw: object) -> Number:
    dated = DatedValue(DAY, read_value(raw, unit), str(raw), "common-practice", None)
    return Number("n", "something", unit, (dated,), "here")


@pytest.mark.parametrize(
    ("unit", "raw", "form", "words"),
    [
        ("calendar-days", 7, "", "7 days"),
        ("calendar-days", 1, "every", "every day"),
        ("calendar-days", 2, "every", "every 2 days"),
        ("calendar-months", 2, "", "2 months"),
        ("calendar-years", 1, "", "1 year"),
        ("h", 168, "", "7 days"),
        ("h", 96, "", "96 hours"),
        ("h", 24, "", "24 hours"),
        ("s", 30, "", "30 seconds"),
        ("s", 90, "", "90 seconds"),
        ("s", 120, "", "2 minutes"),
        ("min", 60, "", "1 hour"),
        ("weeks+days", "28w0d", "", "28 weeks"),
        ("weeks+days", "33w6d", "", "33 weeks 6 days"),
        ("g", 1000, "", "1000 g"),
        ("m", 0.9, "", "0.9 m"),
        ("percent", 0.5, "", "0.5 %"),
        ("count", 3, "", "3"),
        ("count", 2, "words", "two"),
        ("count", 1, "swab|swabs", "1 swab"),
        ("count", 3, "swab|swabs", "3 swabs"),
        ("percent", 2, "bare", "2"),
    ],
)
def test_a_number_is_said_as_a_nurse_says_it(unit, raw, form, words) -> None:
    one = number(unit, raw)

    assert said(one, one.values[0].value, form) == words


@pytest.mark.parametrize(
    ("text", "stray"),
    [
        ("A clear film stays 7 days at most.", "7"),
        ("Half of it.", "Half"),
        ("A clear film stays \N{ARABIC-INDIC DIGIT SEVEN} days.", "7"),
        ("A clear film stays \N{CIRCLED DIGIT SEVEN} days.", "7"),
        ("A clear film stays \N{VULGAR FRACTION ONE HALF} week.", "0.5"),
        ("A clear film stays s\N{ZERO WIDTH SPACE}even days.", "seven"),
        ("A clear film stays sev\N{SOFT HYPHEN}en days.", "seven"),
        ("A clear film stays a couple of days.", "couple"),
        ("A clear film is changed nightly.", "nightly"),
        ("It stays fourscore days, or sevenfold.", "fourscore"),
        ("A clear film stays VII days.", "VII days"),
        ("It stays {film:bare} weeks.", "{film:bare} weeks"),
        ("It stays {film:bare}0 days.", "{film:bare}0"),
        ("From {film:bare} to {gauze}; grade IV; {film} days.", None),
        ("Twice, then wait.", "Twice"),
        ("Ask every day whether it is needed.", "every day"),
        ("At most a minute and more.", "a minute"),
        ("Two people.", "Two"),
        ("2.5 cm.", "2.5"),
        ("Under {limit}, and 0.5 % of it.", "0.5"),
        ("A clear film stays {dressing-transparent} at most.", None),
        ("INS 2024 and CDC 2011 leave it open; epic3 does not speak.", None),
        ("One swab after the other; 0 if it is held without.", None),
        ("The skin must be dry all over.", None),
    ],
)
def test_numbers_of_its_own_are_found_in_figures_and_in_words(text, stray) -> None:
    assert stray_number(text) == stray


def test_a_sentence_that_begins_with_a_number_begins_with_a_capital() -> None:
    assert places_in("{staff:words} people.") == ("staff",)
    assert fill("{staff:words} people.", lambda *_: "two") == "Two people."
    assert fill("No number.", lambda *_: "x") == "No number."


def with_text(folder: Path, base: str, file: str, find: str, put: str) -> str:
    """Write a shipped set with one text replaced; return the folder to load."""
    for name in ("published", base):
        shutil.copytree(SHIPPED_FOLDER / name, folder / name)
    head = folder / base / "set.toml"
    beside = head.read_text("utf-8").replace(
        'extends = "published"', 'extends = "../published"'
    )
    head.write_text(beside, "utf-8")
    path = folder / base / file
    text = path.read_text("utf-8")
    assert find in text
    path.write_text(text.replace(find, put, 1), "utf-8")
    return str(folder / base)


def film_days(folder: Path, days: int) -> Policy:
    """Return the demo hospital's set with another stay of a clear film from 2026."""
    return load_policy(
        with_text(
            folder,
            "quillmere",
            "dressing.toml",
            'values = [{ from = 2024-01-01, value = 7, source = "common-practice" }]\n\n'
            "[number.dressing-gauze]",
            'values = [{ from = 2024-01-01, value = 7, source = "common-practice" }, '
            f'{{ from = 2026-01-01, value = {days}, source = "common-practice" }}]\n\n'
            "[number.dressing-gauze]",
        )
    )


def test_after_a_change_of_policy_the_sentence_changes_with_it(tmp_path) -> None:
    policy = film_days(tmp_path, 5)

    def says(day: date) -> str:
        live = policy.on(day).intervals_of("dressing")
        return next(i.rule.because for i in live if i.rule.id == "dressing-film-stays")

    assert says(date(2025, 12, 31)) == "A clear film stays 7 days at most."
    assert says(date(2026, 1, 1)) == "A clear film stays 5 days at most."


@pytest.mark.parametrize(
    ("find", "put", "code"),
    [
        ("stays {dressing-transparent} at most", "stays 7 days at most",
         "policy-number-in-sentence"),
        ("stays {dressing-transparent} at most", "stays a week at most",
         "policy-number-in-sentence"),
        ("stays {dressing-transparent} at most", "stays {chg-dry} at most",
         "policy-sentence-names-nothing"),
        ("stays {dressing-transparent} at most", "stays {} at most",
         "policy-sentence-names-nothing"),
        ('means = "Longest stay of gauze', 'means = "At most 2 days: gauze',
         "policy-number-in-sentence"),
    ],
)  # fmt: skip
def test_a_set_with_a_number_of_its_own_is_refused_with_the_place(
    tmp_path, find, put, code
) -> None:
    folder = with_text(tmp_path, "quillmere", "dressing.toml", find, put)

    with pytest.raises(PolicyError) as refused:
        load_policy(folder)

    (fault,) = refused.value.faults
    assert fault.code == code
    assert "dressing.toml: " in fault.where


def test_only_what_reports_a_document_may_hold_its_figures(tmp_path) -> None:
    folder = with_text(
        tmp_path, "quillmere", "dressing.toml",
        'because = "A bleeding site is looked', 'reports = true\nbecause = "A site is looked',
    )  # fmt: skip

    with pytest.raises(PolicyError) as refused:
        load_policy(folder)

    assert {fault.code for fault in refused.value.faults} == {"policy-unknown-key"}


@pytest.mark.parametrize("name", shipped_sets())
def test_no_shown_sentence_of_a_shipped_set_has_a_brace_left(name: str) -> None:
    policy = load_policy(name)

    for rule in policy.on(DAY).policy.every_rule():
        for place, text in sentences_of(rule):
            assert "{" not in text, f"{rule.id}.{place}"
        assert own_numbers(rule, policy.numbers) <= policy.numbers.keys()
