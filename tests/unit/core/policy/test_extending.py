"""A set may build on another, write single rules again under their id, and drop some."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from lumenkeep.core.model import CalendarSpan, Elapsed
from lumenkeep.core.policy import load_policy, shipped_sets
from lumenkeep.errors import NoRuleError, PolicyError

if TYPE_CHECKING:
    from pathlib import Path

DAY = date(2026, 3, 5)
HEAD = """
[set]
id = "own"
title = "A set of the tests"
version = "7"
extends = "quillmere"
call = "whoever is on call in this example"
"""


def written(folder: Path, text: str) -> str:
    folder.mkdir(exist_ok=True)
    (folder / "set.toml").write_text(text, encoding="utf-8")
    return str(folder)


def test_what_is_not_said_again_stays(tmp_path: Path) -> None:
    own, base = load_policy(written(tmp_path, HEAD)), load_policy("quillmere")

    assert (own.id, own.version, own.call) == (
        "own",
        "7",
        "whoever is on call in this example",
    )
    assert own.antiseptics == base.antiseptics
    assert own.dressings == base.dressings
    # Whoever names whom to call names it for everybody, newborns too.
    assert own.every_rule() == tuple(
        rule for rule in base.every_rule() if rule not in base.calls
    )
    assert base.calls
    assert own.numbers == base.numbers
    assert own.digest != base.digest


def test_one_number_is_written_again(tmp_path: Path) -> None:
    text = HEAD + (
        '[number.chg-mass]\nmeans = "Mass"\nunit = "g"\n'
        'values = [{ from = 2024-01-01, value = 1200, source = "common-practice" }]\n'
    )

    own = load_policy(written(tmp_path, text))

    assert own.on(DAY).value("chg-mass") == 1200
    assert own.on(DAY).value("chg-age") == Elapsed(168 * 3600)


def test_one_rule_is_written_again_under_its_id(tmp_path: Path) -> None:
    text = HEAD + (
        '[[exclude]]\nid = "chg-mass"\nbecause = "Light."\nsource = "common-practice"\n'
        'bars = ["chlorhexidine-alcohol"]\n'
        'when = [{ mass = { below = "bnf-mass" } }]\n'
    )

    own = load_policy(written(tmp_path, text))

    assert [e.id for e in own.exclusions] == [
        e.id for e in load_policy("quillmere").exclusions
    ]
    [rule] = [e for e in own.exclusions if e.id == "chg-mass"]
    assert rule.because == "Light."
    assert rule.bars == ("chlorhexidine-alcohol",)


def test_one_rule_is_removed_by_its_id(tmp_path: Path) -> None:
    own = load_policy(written(tmp_path, HEAD + 'remove = ["chg-pad-young"]\n'))

    ids = [e.id for e in load_policy("quillmere").exclusions]
    ids.remove("chg-pad-young")
    assert [e.id for e in own.exclusions] == ids


def test_a_set_beside_this_one_is_named_by_its_folder(tmp_path: Path) -> None:
    written(tmp_path / "below", HEAD)
    above = HEAD.replace('"own"', '"above"').replace('"quillmere"', '"../below"')

    assert load_policy(written(tmp_path / "above", above)).id == "above"


def test_a_changed_file_is_read_again(tmp_path: Path) -> None:
    assert load_policy(written(tmp_path, HEAD)).version == "7"

    later = written(tmp_path, HEAD.replace('"7"', '"8.1"'))

    assert load_policy(later).version == "8.1"


def test_a_change_below_is_seen_above(tmp_path: Path) -> None:
    written(tmp_path / "below", HEAD)
    above = written(
        tmp_path / "above",
        HEAD.replace('"own"', '"above"').replace('"quillmere"', '"../below"'),
    )
    before = load_policy(above)

    written(tmp_path / "below", HEAD + 'remove = ["chg-pad-young"]\n')

    assert len(load_policy(above).exclusions) == len(before.exclusions) - 1
    assert load_policy(above).digest != before.digest


def test_a_number_holds_from_its_first_day(tmp_path: Path) -> None:
    text = HEAD + (
        '[number.dressing-transparent]\nmeans = "Stay"\nunit = "calendar-days"\n'
        "values = [\n"
        '  { from = 2026-07-01, value = 5, source = "common-practice" },\n'
        '  { from = 2024-01-01, value = 7, source = "common-practice" },\n]\n'
    )

    own = load_policy(written(tmp_path, text))

    name = "dressing-transparent"
    assert own.on(date(2026, 6, 30)).value(name) == CalendarSpan(0, 7)
    assert own.on(date(2026, 7, 1)).value(name) == CalendarSpan(0, 5)
    assert own.on(date(2026, 7, 1)).words(name) == "5 days"


def test_before_a_numbers_first_day_there_is_no_rule() -> None:
    with pytest.raises(NoRuleError) as caught:
        load_policy("quillmere").on(date(2023, 12, 31))

    assert caught.value.fault.code == "policy-number-not-in-force"
    assert "2023-12-31" in caught.value.fault.what


def test_an_abstract_set_is_not_offered() -> None:
    assert load_policy("published").abstract
    assert "published" not in shipped_sets()


def test_a_folder_without_files_is_no_set(tmp_path: Path) -> None:
    with pytest.raises(PolicyError) as caught:
        load_policy(str(tmp_path))

    [fault] = caught.value.faults
    assert fault.code == "policy-empty"
    assert fault.what == "The folder holds no .toml file."


@pytest.mark.parametrize("name", ["", ".", "..", "no-such-set", "a\0b", "x" * 5000])
def test_a_set_that_is_not_there(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)

    with pytest.raises(PolicyError) as caught:
        load_policy(name)

    assert caught.value.faults[0].code in ("policy-not-found", "policy-empty")
