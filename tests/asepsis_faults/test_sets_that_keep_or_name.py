"""What is published of procedures, a set keeps, makes stricter, or names by id."""

from __future__ import annotations

import re
from datetime import date
from typing import TYPE_CHECKING

import pytest
from tests.asepsis_faults.own_files import (
    add,
    before,
    copied,
    drop,
    laid_over,
    loosened,
    swap,
    within,
)
from tests.asepsis_faults.sets_by_a_nurse import SETS, Row
from tests.policy.own_set import OwnSet

from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.archive import policy_from_texts, set_texts
from lumenkeep.core.policy.files import SHIPPED_FOLDER
from lumenkeep.core.proving.procedures import procedure_part
from lumenkeep.core.rehearsal.procedure_files import bedside_of, not_kept, said_anew
from lumenkeep.errors import PolicyError
from lumenkeep.text.policy.restated import rehearsed_in_words, restated_in_words

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.asepsis_faults.own_files import Edit

    from lumenkeep.core.asepsis.kept import ProcedureNotKept

DAY = date(2026, 11, 25)
FILES = sorted(
    path.stem for path in (SHIPPED_FOLDER / "published/procedures").iterdir()
)
WAYS = [copied, laid_over]
FIRST_OF_ITS_FILE = list({row[1][0][0]: row for row in reversed(SETS)}.values())
"""One row for each file that is changed."""


def ids(found: tuple[ProcedureNotKept, ...]) -> set[str]:
    return {one.id for one in found}


def named(row: Row) -> str:
    return row[0]


def test_there_are_enough_and_no_two_say_the_same() -> None:
    assert len(SETS) >= 70
    assert len({row[0] for row in SETS}) == len(SETS)
    assert {row[1][0][0] for row in SETS} >= set(FILES) - {"closing"}


@pytest.mark.parametrize("row", SETS, ids=named)
def test_what_is_lost_is_found_in_a_copy(row: Row, tmp_path: Path) -> None:
    _, edits, id_, words = row

    found = not_kept(copied(tmp_path, *edits), DAY)

    [one] = [one for one in found if one.id == id_]
    assert words in one.says
    assert all(one.places)
    assert f"names '{id_}' " in one.mend
    assert "under [[loosened]]" in one.mend


@pytest.mark.parametrize("row", FIRST_OF_ITS_FILE, ids=named)
def test_what_is_lost_is_found_in_files_over_the_published(
    row: Row, tmp_path: Path
) -> None:
    _, edits, id_, words = row

    found = not_kept(laid_over(tmp_path, *edits), DAY)

    assert words in next(one.says for one in found if one.id == id_)


@pytest.mark.parametrize("row", FIRST_OF_ITS_FILE, ids=named)
def test_what_is_named_openly_is_told_first_and_is_no_breach(
    row: Row, tmp_path: Path
) -> None:
    _, edits, id_, _ = row

    policy = copied(tmp_path, *edits, head=loosened(id_))

    assert id_ not in ids(not_kept(policy, DAY))
    first = f"Loosened, of what this set is held to: {id_}. "
    openly = restated_in_words(policy, DAY)[: len(policy.loosened)]
    assert [says for says in openly if says.startswith(first)]
    assert rehearsed_in_words(policy)[0].startswith(first)


@pytest.mark.parametrize("name", ["published", "quillmere", "us-guideline"])
def test_a_shipped_set_keeps_what_is_published(name: str) -> None:
    policy = load_policy(name)

    assert not_kept(policy, DAY) == ()
    assert said_anew(policy) == ()


@pytest.mark.parametrize("base", ["quillmere", "uk-guideline"])
def test_an_unchanged_copy_keeps_it_too(base: str, tmp_path: Path) -> None:
    policy = OwnSet(tmp_path, base).read()

    assert not_kept(policy, DAY) == ()
    assert said_anew(policy) == ()


def translated(text: str) -> str:
    """Return a file with every sentence in other words."""
    keys = "says|look|because|redo|keep|stop|mend|title|rule|says_first"
    return re.sub(rf'(?m)^({keys}) = ".*"$', r'\1 = "Auf Deutsch."', text)


@pytest.mark.parametrize("make", WAYS)
def test_a_translation_keeps_what_is_published(
    make: Callable[..., object], tmp_path: Path
) -> None:
    files = [name for name in FILES if name not in ("items", "room", "sources")]

    policy = make(tmp_path, *((name, translated) for name in files))

    assert not_kept(policy, DAY) == ()  # type: ignore[arg-type]


STRICTER: dict[str, list[Edit]] = {
    "a step more": [add("dressing-change", '\n[[step]]\nid = "D20"\nactor = "assistant"\nverb = "inspect"\nobjects = ["edges"]\nsays = "Look once more."\nbecause = "Ours."\nsource = "common-practice"\n')],
    "a second person": [within("connector-change", "N6a", 'actor = "operator"', 'actor = "both"')],
    "more gauze": [within("dressing-change", "D12", "sterile-gauze = 2", "sterile-gauze = 3")],
    "a longer press": [within("moves", "stop-press", 'seconds = "removal-press"', 'seconds = { value = 600, unit = "s", from = 2024-01-01, source = "common-practice" }')],
    "a longer time": [("sources", lambda text: text.replace('value = 300, source = "port-manual"', 'value = 600, source = "port-manual"'))],
    "also something to look at": [within("preparation", "PR1", "charted =", 'look = "Both names."\ncharted =')],
    "one more thing charted": [within("preparation", "PR2", '["both names"]', '["both names", "since when"]')],
    "a mask for every child": [within("preparation", "PR12c", 'when = [\n  { masks = { is = ["child-too"] }, procedure = { is_not = ["connector-change", "set-change"] } },\n  { masks = { is = ["child-too"] }, technique = { is = ["sterile"] } },\n]\n', "")],
    "the smallest area for any baby": [within("dressing-change", "NEO12", 'is = ["newborn-intensive-care"]', 'is = ["newborn-intensive-care", "paediatric-intensive-care"]')],
    "one way to lie, whatever the site": [("preparation", lambda text: re.sub(r'(?s)\[\[step\]\]\nid = "PR7".*?(?=\[\[step\]\]\nid = "PR8")', '[[step]]\nid = "PR7"\nactor = "both"\nverb = "position"\nobjects = ["child"]\ntouches = ["child"]\nsays = "Lay the child as its line asks."\ncharted = ["arm position"]\nbecause = "Air."\nsource = "common-practice"\n\n', text, count=1))],
    "three pairs of gloves in the room": [swap("room", '"sterile-gloves", count = 1', '"sterile-gloves", count = 3')],
    "a slip of ours": [add("slips", '\n[[slip]]\nid = "phone-rings"\nnumber = 99\nsays = "The telephone rings."\nending = "leave"\nredo = "Let it ring."\noften = "slip-rarely"\nbecause = "Ours."\nsource = "common-practice"\n')],
    "a slip that stops more often": [within("slips", "swab-returns", "often =", 'stops = [{ tract = ["open"] }]\noften =')],
    "a slip that asks for more": [within("slips", "swab-returns", "must = [", 'must = [\n  { verb = ["say"] },')],
    "one lumen more": [swap("connector-change", '"4", "5"]', '"4", "5", "6"]')],
    "an end that asks for more": [swap("re-cover", 'holder = ["nobody"]', 'holder = ["nobody"], field = ["none"]')],
    "nothing starts anew": [swap("set-change", 'resets = ["set"]', "resets = []")],
    "a rule in more states": [within("asepsis", "in-sight", '{ field = ["open"] }]', '{ field = ["open"] }, { site = ["dry"] }]')],
}  # fmt: skip


@pytest.mark.parametrize("edits", STRICTER.values(), ids=STRICTER.keys())
def test_a_stricter_set_keeps_what_is_published(
    edits: list[Edit], tmp_path: Path
) -> None:
    assert not_kept(copied(tmp_path, *edits), DAY) == ()


def test_one_row_names_a_whole_procedure(tmp_path: Path) -> None:
    edits = (
        drop("dressing-change", "D12", "D4"),
        swap("dressing-change", 'soil = ["no", "yes"]', 'soil = ["no"]'),
        drop("connector-change", "N13"),
    )

    policy = copied(tmp_path, *edits, head=loosened("dressing-change"))

    assert ids(not_kept(policy, DAY)) == {"connector-change.N13"}


def test_a_step_of_a_part_is_named_once_or_in_one_procedure(tmp_path: Path) -> None:
    edit = drop("preparation", "PR6")
    (tmp_path / "all").mkdir()
    [one] = not_kept(copied(tmp_path / "all", edit), DAY)
    assert one.id == "preparation.PR6"
    assert "(in one procedure alone, as 'connector-change.PR6')" in one.mend

    policy = copied(tmp_path, edit, head=loosened("dressing-change.PR6"))

    # Elsewhere it is still missed, and no longer by all of its procedures.
    found = ids(not_kept(policy, DAY))
    assert "connector-change.PR6" in found
    assert not found & {"dressing-change.PR6", "re-cover.PR6"}


def test_an_id_that_is_nothing_published_cannot_be_loosened(tmp_path: Path) -> None:
    with pytest.raises(PolicyError) as refused:
        copied(tmp_path, drop("preparation", "PR6"), head=loosened("preparation.PR66"))

    [fault] = refused.value.faults
    assert fault.code == "policy-loosens-nothing"
    assert "preparation.PR" in fault.mend


def test_a_set_without_procedures_is_told_each(tmp_path: Path) -> None:
    own = OwnSet(tmp_path)
    for path in (tmp_path / "published" / "procedures").iterdir():
        path.unlink()
    own.add("published/procedures/none.toml", "# nothing\n")

    found = not_kept(own.read(), DAY)

    assert ids(found) == set(bedside_of(load_policy("published")).procedures)


def test_a_set_that_extends_nothing_is_held_to_it_too(tmp_path: Path) -> None:
    copied(tmp_path, drop("dressing-change", "FEM12"))

    found = not_kept(load_policy(str(tmp_path / "published")), DAY)

    assert ids(found) == {"dressing-change.FEM12"}


def test_a_version_that_was_kept_is_held_to_what_was_kept_with_it() -> None:
    policy = policy_from_texts(set_texts("quillmere"))

    assert not_kept(policy, DAY) == ()
    assert said_anew(policy) == ()


MORE_STEP = """
[[step]]
id = "X7"
after = "D7"
actor = "assistant"
verb = "inspect"
objects = ["edges"]
says = "Look once more."
look = "Edges."
because = "Ours."
source = "common-practice"
"""
MORE_MOVE = """
[[move]]
id = "look-round"
actor = "assistant"
verb = "inspect"
objects = ["room"]
says = "Look round."
look = "Who is near."
because = "Ours."
source = "common-practice"
"""


def test_another_order_is_named_and_is_no_breach_by_itself(tmp_path: Path) -> None:
    policy = copied(
        tmp_path,
        before("closing", "CL2", "CL1"),
        before("dressing-change", "D7", "D5"),
    )

    assert not_kept(policy, DAY) == ()
    told = [
        "Said anew: closing: CL2 now before CL1.",
        "Said anew: dressing-change: D7 now before D5.",
    ]
    assert sorted(rehearsed_in_words(policy)) == told
    assert [s for s in restated_in_words(policy, DAY) if s in told]


def test_what_is_added_or_told_in_other_words_is_named_first(tmp_path: Path) -> None:
    policy = copied(
        tmp_path,
        add("dressing-change", MORE_STEP),
        add("closing", MORE_STEP.replace("X7", "X8").replace("after", "#")),
        add("moves", MORE_MOVE),
        within("slips", "glove-tears", 'redo = "', 'redo = "Go on. '),
    )

    assert not_kept(policy, DAY) == ()
    told = [
        "Said anew: closing: X8 added.",
        "Said anew: dressing-change: X7 added.",
        "Said anew: moves of ways back: look-round added.",
        "Said anew: slips: glove-tears (words).",
    ]
    assert sorted(rehearsed_in_words(policy)) == told
    assert set(told) <= set(restated_in_words(policy, DAY))


def test_a_slip_that_is_named_openly_is_not_told_twice(tmp_path: Path) -> None:
    edit = within("slips", "glove-tears", 'redo = "', 'redo = "Go on. ')

    policy = copied(tmp_path, edit, head=loosened("slip.glove-tears"))

    assert said_anew(policy) == ()


ENDINGS_MOVED: dict[str, tuple[str, str]] = {
    "you covered it, and then you clamped": ("left-covered", "left-clamped"),
    "you sealed it before anybody had pressed": ("left-sealed", "left-pressed"),
    "you mopped the baby, and the line hung open": ("left-without-a-pool", "left-held"),
}


@pytest.mark.parametrize("moved", ENDINGS_MOVED.values(), ids=ENDINGS_MOVED.keys())
def test_safe_endings_in_another_order_are_a_breach(
    moved: tuple[str, str], tmp_path: Path
) -> None:
    (tmp_path / "bare").mkdir()
    (tmp_path / "open").mkdir()
    edit = before("safe-endings", *moved)

    [one] = not_kept(copied(tmp_path / "bare", edit), DAY)

    assert one.id == moved[0]
    assert f"; {moved[0]} now before {moved[1]}." in one.says
    assert all(place.startswith("published/procedures/safe-") for place in one.places)
    openly = copied(tmp_path / "open", edit, head=loosened(moved[0]))
    assert not_kept(openly, DAY) == ()


def test_a_breach_is_part_of_the_proof(tmp_path: Path) -> None:
    policy = copied(tmp_path, drop("dressing-change", "FEM12"))

    part = procedure_part(policy, DAY)

    told = [one for one in part.breaches if one.rules[0][0] == "dressing-change.FEM12"]
    assert len(told) == 1
    assert not part.holds
    assert [where.partition(":")[0] for _, where in told[0].rules] == [
        "published/procedures/dressing-change.toml",
        "published/procedures/dressing-change.toml",
    ]


def test_a_safe_ending_comes_back_with_the_moves_that_reach_it(tmp_path: Path) -> None:
    """A set that drops both is held to both: nobody stops with a line open."""
    policy = copied(
        tmp_path, drop("safe-endings", "left-without-a-pool"), drop("moves", "stop-mop")
    )

    bedside = bedside_of(policy)

    [safe] = [one for one in bedside.safe if one.id == "left-without-a-pool"]
    assert safe.does == ("stop-mop",)
    assert "stop-mop" in {move.id for move in bedside.moves}
    assert ids(not_kept(policy, DAY)) == {"left-without-a-pool", "move.stop-mop"}


DOUBLED: dict[str, tuple[list[Edit], str]] = {
    "an item": ([swap("items", '  { id = "plaster"', '  { id = "plaster", label = "Plaster", place = "field", source = "common-practice" },\n  { id = "plaster"')], "The item 'plaster' is said twice in this set."),
    "a row of the room": ([swap("room", '  { item = "mask"', '  { item = "mask", count = 2, because = "Ours.", source = "common-practice" },\n  { item = "mask"')], "The item in the room 'mask' is said twice in this set."),
    "a part": ([("more", lambda _: '[part]\nid = "closing"\n')], "The part 'closing' is said twice in this set."),
    "a slip": ([within("slips", "covered-wet", 'id = "covered-wet"', 'id = "blotted"')], "The id 'blotted' is used twice (slip)."),
    "a move": ([within("moves", "lay-flat", 'id = "lay-flat"', 'id = "comfort-child"')], "The id 'comfort-child' is used twice (move)."),
    "a step": ([within("dressing-change", "D4", 'id = "D4"', 'id = "D5"')], "The id 'D5' is used twice (procedure dressing-change)."),
    "a step for one setting": ([within("dressing-change", "FEM12", 'id = "FEM12"', 'id = "D13"')], "The id 'D13' is used twice (procedure dressing-change)."),
}  # fmt: skip


@pytest.mark.parametrize(("edits", "what"), DOUBLED.values(), ids=DOUBLED.keys())
def test_what_stands_twice_in_one_set_is_a_fault_with_both_places(
    edits: list[Edit], what: str, tmp_path: Path
) -> None:
    with pytest.raises(PolicyError) as refused:
        bedside_of(copied(tmp_path, *edits))

    [fault] = [one for one in refused.value.faults if one.what == what]
    assert fault.code == "policy-same-id"
    assert "the other stands at published/procedures/" in fault.mend
    assert fault.where.startswith("published/procedures/")
    assert fault.mend.rpartition(" at ")[2] != fault.where
