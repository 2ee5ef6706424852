"""A set that was copied from a shipped one, or extends it, says first what it changed."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner
from tests.policy.own_set import OwnSet
from tests.policy.test_mutants import without_rule

from lumenkeep.cli.main import main
from lumenkeep.exchange.policy_reading import read_policy
from lumenkeep.exchange.restated import restated_in_words
from lumenkeep.policy import load_policy, shipped_sets

if TYPE_CHECKING:
    from lumenkeep.policy import Policy

DAY = date(2026, 11, 30)
HEAD = """
[set]
id = "own"
title = "Our own"
version = "1"
extends = "{extends}"
call = "the vascular access nurse on call"
"""


def first_lines(policy: Policy) -> list[str]:
    return [
        says
        for says in restated_in_words(policy, DAY)
        if says.startswith(("Built like", "Said anew by own", "Taken out"))
    ]


def over(folder: Path, text: str, extends: str = "quillmere") -> Policy:
    (folder / "set.toml").write_text(HEAD.format(extends=extends) + text, "utf-8")
    return load_policy(str(folder))


@pytest.mark.parametrize("name", shipped_sets())
def test_of_a_shipped_set_and_its_unchanged_copy_nothing_is_said(
    tmp_path: Path, name: str
) -> None:
    assert first_lines(load_policy(name)) == []
    assert first_lines(OwnSet(tmp_path, name).read()) == []


@pytest.mark.parametrize(
    ("base", "file", "find", "put", "says"),
    [
        (
            "quillmere",
            "quillmere/people.toml",
            '{ age = { below = "newborn-until" } }',
            '{ age = { at_least = "newborn-until" } }',
            "otherwise: call call-for-a-newborn (when).",
        ),
        (
            "quillmere",
            "quillmere/antisepsis.toml",
            '{ agent = { is = ["povidone-iodine"] }, mass',
            '{ agent = { is_not = ["povidone-iodine"] }, mass',
            "otherwise: note pvi-repeated (when).",
        ),
        (
            "us-guideline",
            "us-guideline/intervals.toml",
            "priority = 5",
            "priority = 1",
            "otherwise: interval umbilical-line-secured-its-own-way (priority 5 → 1).",
        ),
        (
            "uk-guideline",
            "published/limits.toml",
            'value = 2, source = "mask-advice"',
            'value = 12, source = "mask-advice"',
            "otherwise: number mask-from 2 years → 12 years.",
        ),
        (
            "quillmere",
            "quillmere/set.toml",
            'antiseptics = ["chlorhexidine-alcohol", "povidone-iodine"]',
            'antiseptics = ["povidone-iodine", "chlorhexidine-alcohol"]',
            "otherwise: set (antiseptics).",
        ),
        (
            "us-guideline",
            "published/materials.toml",
            "This child does not tolerate latex",
            "This child bears latex well",
            "in other words: note latex.",
        ),
        (
            "uk-guideline",
            "published/procedures/preparation.toml",
            "Identify the child by",
            "Name the child by",
            "in other words: step connector-change/PR3.",
        ),
    ],
)
def test_what_a_copy_changed_is_said_by_id(
    tmp_path: Path, base: str, file: str, find: str, put: str, says: str
) -> None:
    own = OwnSet(tmp_path, base).swap(file, find, put)

    assert first_lines(own.read()) == [f"Built like {base}, but {says}"]


def test_what_a_copy_leaves_out_and_adds_is_said_by_id(tmp_path: Path) -> None:
    own = OwnSet(tmp_path)
    path = tmp_path / "published" / "notes.toml"
    text = without_rule(path.read_text("utf-8"), "feel-through-the-dressing")
    path.write_text(text, encoding="utf-8")
    own.add(
        "quillmere/antisepsis.toml",
        '\n[[note]]\nid = "window"\nbecause = "Close the window."\n'
        'source = "common-practice"\nkind = "look"\n',
    )

    assert first_lines(own.read()) == [
        "Built like quillmere, but left out: note feel-through-the-dressing.",
        "Built like quillmere, but added: note window.",
    ]


def test_a_step_that_a_copy_drops_is_said(tmp_path: Path) -> None:
    own = OwnSet(tmp_path, "uk-guideline")
    path = tmp_path / "published" / "procedures" / "re-cover.toml"
    lines = path.read_text("utf-8").split("\n[[step]]\n")
    [gone] = [one for one in lines if "Chart the cause: sweat" in one]
    path.write_text("\n[[step]]\n".join(one for one in lines if one != gone), "utf-8")

    [says] = first_lines(own.read())

    assert says.startswith("Built like uk-guideline, but left out: step re-cover/")


def test_of_a_translation_the_ids_are_counted(tmp_path: Path) -> None:
    own = OwnSet(tmp_path)
    path = tmp_path / "published" / "disagreements.toml"
    text = path.read_text("utf-8").replace('topic = "', 'topic = "Uneins: ')
    path.write_text(text, encoding="utf-8")

    [says] = first_lines(own.read())

    assert says.startswith("Built like quillmere, but in other words: disagreement C1,")
    assert says.endswith(", and 12 more.")


def test_a_set_over_a_changed_copy_of_published_names_what_that_changed(
    tmp_path: Path,
) -> None:
    own = OwnSet(tmp_path)
    own.swap("published/materials.toml", "does not tolerate latex", "bears latex")
    (tmp_path / "own").mkdir()

    policy = over(tmp_path / "own", "abstract = true\n", "../published")

    assert first_lines(policy) == [
        "Built like published, but in other words: note latex."
    ]


def test_what_is_said_over_a_shipped_set_shows_what_numbers_became(
    tmp_path: Path,
) -> None:
    policy = over(
        tmp_path,
        'remove = ["note-that"]\n'.replace("note-that", "pvi-repeated")
        + '\n[number.chg-dry]\nmeans = "dry"\nunit = "s"\nvalues = [\n'
        '{ from = 2024-01-01, value = 45, source = "common-practice" },\n'
        '{ from = 2028-01-01, value = 60, source = "common-practice" }]\n'
        '\n[[supply]]\nid = "supply-strips"\nbecause = "They hold."\n'
        'source = "common-practice"\nitem = "sterile-strips"\nlabel = "Strips"\n'
        'count = { value = 3, unit = "count", from = 2024-01-01, source = '
        '"common-practice" }\nwhen = [{ sensitivities = { lacks = ["adhesive"] } }]\n',
    )

    assert first_lines(policy) == [
        "Taken out of what it extends: pvi-repeated.",
        (
            "Said anew by own, over quillmere: supply supply-strips (count 2 → 3), "
            "number chg-dry 30 seconds → 45 seconds; 30 seconds → 1 minute "
            "from 2028-01-01 on."
        ),
    ]


def test_a_set_that_is_built_like_none_is_compared_with_none() -> None:
    bare = Path(__file__).parents[1] / "external" / "sets" / "bare"

    assert first_lines(load_policy(str(bare))) == []


def test_proof_and_reading_begin_with_it(tmp_path: Path) -> None:
    own = OwnSet(tmp_path).swap(
        "quillmere/dressing.toml", "priority = 5", "priority = 4"
    )
    says = "interval umbilical-line-secured-its-own-way (priority 5 → 4)."

    proved = CliRunner().invoke(main, ["prove", own.path])

    assert says in proved.output.split("complete ")[0]
    assert any(says in one for one in read_policy(own.read(), DAY).restated)
