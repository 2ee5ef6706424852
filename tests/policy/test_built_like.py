"""A set that was copied from a shipped one, or extends it, says first what it changed."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner
from tests.policy.own_set import OwnSet
from tests.policy.test_mutants import without_rule

from lumenkeep.cli.main import main
from lumenkeep.core.policy import load_policy, shipped_sets
from lumenkeep.text.policy.policy_reading import read_policy
from lumenkeep.text.policy.restated import restated_in_words

if TYPE_CHECKING:
    from lumenkeep.core.policy import Policy

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
        if says.startswith(("Built like", "Said anew by own", "Taken out", "Added by"))
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
            (
                "otherwise: call call-for-a-newborn (when younger than 672 hours (28 days); "
                "or when born … → at least 672 hours (28 days) old; or when born …)."
            ),
        ),
        (
            "quillmere",
            "quillmere/antisepsis.toml",
            '{ agent = { is = ["povidone-iodine"] }, mass',
            '{ agent = { is_not = ["povidone-iodine"] }, mass',
            (
                "otherwise: note pvi-repeated (when … the antiseptic is povidone-iodine "
                "→ … the antiseptic is not povidone-iodine)."
            ),
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
            (
                "otherwise: set (antiseptics chlorhexidine-alcohol, povidone-iodine "
                "→ povidone-iodine, chlorhexidine-alcohol)."
            ),
        ),
        (
            "us-guideline",
            "published/materials.toml",
            "This child does not tolerate latex",
            "This child bears latex well",
            (
                "otherwise: note latex (because “This child does not tolerate latex: gloves "
                "and everything else without it.” → “This child bears latex well: gloves and "
                "everything else without it.”)."
            ),
        ),
        (
            "uk-guideline",
            "published/procedures/preparation.toml",
            "Identify the child by",
            "Name the child by",
            (
                "otherwise: step connector-change/PR3 (says “Identify the child by …” "
                "→ “Name the child by …”)."
            ),
        ),
        (
            "quillmere",
            "quillmere/people.toml",
            'gloves = "clean; sterile at hand"',
            'gloves = "none"',
            (
                "otherwise: staffing two-people (roles, assistant: gloves “clean; sterile at "
                "hand” → none)."
            ),
        ),
        (
            "uk-guideline",
            "published/watch.toml",
            'asks = "Look at it with whoever raised it."',
            'asks = "Leave it to whoever raised it."',
            (
                "otherwise: concern raised-by-hand (asks “Look at it with whoever raised it.” "
                "→ “Leave it to whoever raised it.”)."
            ),
        ),
        (
            "us-guideline",
            "published/watch.toml",
            'label = "Raised by hand"',
            'label = "Raised by somebody"',
            "in other words: concern raised-by-hand.",
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
        "Built like quillmere, but added: note window (“Close the window.”; kind look).",
    ]


def test_a_step_that_a_copy_drops_is_said(tmp_path: Path) -> None:
    own = OwnSet(tmp_path, "uk-guideline")
    path = tmp_path / "published" / "procedures" / "re-cover.toml"
    lines = path.read_text("utf-8").split("\n[[step]]\n")
    [gone] = [one for one in lines if "Chart the cause: sweat" in one]
    path.write_text("\n[[step]]\n".join(one for one in lines if one != gone), "utf-8")

    [says] = first_lines(own.read())

    assert says.startswith("Built like uk-guideline, but left out: step re-cover/")


def test_of_labels_told_otherwise_the_ids_are_counted(tmp_path: Path) -> None:
    own = OwnSet(tmp_path)
    path = tmp_path / "published" / "disagreements.toml"
    text = path.read_text("utf-8").replace('topic = "', 'topic = "Uneins: ')
    path.write_text(text, encoding="utf-8")

    [says] = first_lines(own.read())

    assert says.startswith("Built like quillmere, but in other words: disagreement C1,")
    assert says.endswith(
        ", and 12 more: “lumenkeep compare quillmere FOLDER” lists them."
    )


def asked_otherwise(text: str, count: int = 0) -> str:
    """Return a file of concerns with so many of their sentences changed; 0: each."""
    return re.sub(r'(?m)^asks = "(?=[A-Z])', 'asks = "Bitte: ', text, count=count)


@pytest.mark.parametrize("count", [12, 13])
def test_of_many_sentences_told_otherwise_the_statements_are_counted(
    tmp_path: Path, count: int
) -> None:
    own = OwnSet(tmp_path)
    path = tmp_path / "published" / "watch.toml"
    text = asked_otherwise(path.read_text("utf-8"), count)
    path.write_text(text, encoding="utf-8")

    [says] = first_lines(own.read())

    if count == 12:
        assert says.startswith("Built like quillmere, but otherwise: concern ")
        assert says.count(" → “Bitte: ") == count
    else:
        assert says.startswith("Built like quillmere, but in other words: concern ")
        assert "Bitte" not in says
        assert ", and 1 more: “lumenkeep compare quillmere FOLDER” lists them." in says


def test_a_decision_that_changes_is_shown_also_in_a_translation(tmp_path: Path) -> None:
    own = OwnSet(tmp_path).swap(
        "quillmere/dressing.toml", "priority = 5", "priority = 4"
    )
    path = tmp_path / "published" / "watch.toml"
    text = asked_otherwise(path.read_text("utf-8"))
    path.write_text(text, encoding="utf-8")

    decides, _ = first_lines(own.read())

    assert decides == (
        "Built like quillmere, but otherwise: interval "
        "umbilical-line-secured-its-own-way (priority 5 → 4)."
    )


def test_a_source_that_alone_changes_is_shown(tmp_path: Path) -> None:
    own = OwnSet(tmp_path, "us-guideline").swap(
        "published/materials.toml",
        'everything else without it."\nsource = "common-practice"',
        'everything else without it."\nsource = "MARSI2013"',
    )

    assert first_lines(own.read()) == [
        (
            "Built like us-guideline, but otherwise: note latex (source common-practice → "
            "MARSI2013)."
        )
    ]


def test_a_set_over_a_changed_copy_of_published_names_what_that_changed(
    tmp_path: Path,
) -> None:
    own = OwnSet(tmp_path)
    own.swap("published/materials.toml", "does not tolerate latex", "bears latex")
    (tmp_path / "own").mkdir()

    policy = over(tmp_path / "own", "abstract = true\n", "../published")

    assert first_lines(policy) == [
        (
            "Built like published, but otherwise: note latex (because “This child does not "
            "tolerate latex: gloves and everything else without it.” → “This child bears latex: "
            "gloves and everything else without it.”)."
        )
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


def test_a_set_that_is_built_like_none_says_only_what_it_adds() -> None:
    bare = Path(__file__).parents[1] / "external" / "sets" / "bare"

    [says] = first_lines(load_policy(str(bare)))

    assert says.startswith(
        "Added by bare, over published: antiseptic tincture-of-iodine"
    )
    assert (
        "interval gauze-stays (“Gauze stays 2 days at most.”; when the dressing is gauze "
        "or gauze under a clear film; task dressing; not after 2 days)"
    ) in says
    assert says.endswith(", number dressing-gauze 2 days, number look 1 day.")


OWN = """
[[at_once]]
id = "own-blood"
because = "Blood under the film: it is changed at once."
source = "common-practice"
task = "dressing"
when = [{ findings = { includes = ["soiled"] } }]

[[refer]]
id = "own-refer"
because = "Of the smallest we ask the surgeon."
source = "common-practice"
call = "the surgeon on call"
when = [{ mass = { below = "chg-mass" } }]
"""
NOTES = "".join(
    f"""
[[note]]
id = "own-{number}"
because = "Look once more."
source = "common-practice"
kind = "look"
"""
    for number in "abcdefghijklmnopqrstuvwxyz"
)


def test_what_a_set_adds_over_a_shipped_one_is_said_with_for_whom(
    tmp_path: Path,
) -> None:
    assert first_lines(over(tmp_path, OWN)) == [
        (
            "Added by own, over quillmere: refer own-refer (“Of the smallest we ask the "
            "surgeon.”; when lighter than 1000 g; call “the surgeon on call”), at_once "
            "own-blood (“Blood under the film: it is changed at once.”; when the dressing "
            "or its site is soiled; task dressing)."
        )
    ]


def test_of_much_that_is_added_what_decides_is_shown_and_the_rest_by_id(
    tmp_path: Path,
) -> None:
    [says] = first_lines(over(tmp_path, NOTES + OWN))

    assert "call “the surgeon on call”" in says
    assert says.count("“Look once more.”") == 10
    assert says.endswith(", note own-y, note own-z.")


LATER = """
[number.own-newborn]
means = "Until then a child is newborn to us"
unit = "h"
values = [
  { from = 2024-01-01, value = 672, source = "common-practice" },
  { from = 2028-01-01, value = 24, source = "common-practice" },
]
"""


def test_a_number_of_a_day_to_come_is_shown_wherever_it_is_put(tmp_path: Path) -> None:
    own = OwnSet(tmp_path).add("quillmere/people.toml", LATER)
    own.swap(
        "quillmere/people.toml",
        '{ age = { below = "newborn-until" } }',
        '{ age = { below = "own-newborn" } }',
    )

    assert first_lines(own.read()) == [
        (
            "Built like quillmere, but otherwise: call call-for-a-newborn (when "
            "newborn-until, premature-gestation, early-newborn-until → own-newborn, "
            "premature-gestation, early-newborn-until)."
        ),
        (
            "Built like quillmere, but added: number own-newborn 672 hours (28 days), "
            "24 hours from 2028-01-01 on."
        ),
    ]


def test_a_sentence_is_shown_with_the_numbers_of_its_own_side(tmp_path: Path) -> None:
    own = OwnSet(tmp_path).swap(
        "quillmere/antisepsis.toml", "{dry} by the clock", "Not {dry} by the clock"
    )

    [says] = first_lines(own.read())

    assert "“2 minutes by the clock" in says
    assert "“Not 2 minutes by the clock" in says


def test_the_steps_of_a_procedure_that_is_added_go_with_it(tmp_path: Path) -> None:
    own = OwnSet(tmp_path, "us-guideline")
    folder = tmp_path / "published" / "procedures"
    text = (folder / "re-cover.toml").read_text("utf-8")
    text = text.replace('id = "re-cover"', 'id = "our-cover"')
    text = text.replace("resets = []", 'resets = ["connector"]')
    (folder / "our-cover.toml").write_text(text, encoding="utf-8")

    assert first_lines(own.read()) == [
        (
            "Built like us-guideline, but added: procedure our-cover (“Emergency re-cover of a "
            "lifted dressing”; resets connector)."
        )
    ]


def test_of_very_much_that_is_added_the_rest_is_counted(tmp_path: Path) -> None:
    text = NOTES + NOTES.replace('"own-', '"our-')

    [says] = first_lines(over(tmp_path, text))

    assert says.endswith("and 4 more: “lumenkeep compare quillmere FOLDER” lists them.")


def test_proof_and_reading_begin_with_it(tmp_path: Path) -> None:
    own = OwnSet(tmp_path).swap(
        "quillmere/dressing.toml", "priority = 5", "priority = 4"
    )
    says = "interval umbilical-line-secured-its-own-way (priority 5 → 4)."

    proved = CliRunner().invoke(main, ["prove", own.path])

    assert says in proved.output.split("complete ")[0]
    assert any(says in one for one in read_policy(own.read(), DAY).restated)
