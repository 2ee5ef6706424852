"""The core counts for every set: left out, emptied, copied or loosened openly."""

from __future__ import annotations

import json
import re
import shutil
from datetime import date
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner

from lumenkeep.cli.main import main
from lumenkeep.core.policy import load_policy, shipped_sets
from lumenkeep.core.policy.archive import policy_from_texts, set_texts
from lumenkeep.core.policy.core_breaches import core_breaches
from lumenkeep.core.policy.files import SHIPPED_FOLDER
from lumenkeep.core.policy.solver import prove_parts
from lumenkeep.core.proving.procedures import procedure_part
from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.errors import PolicyError
from lumenkeep.text.policy.plain_text import reading_in_words
from lumenkeep.text.policy.policy_reading import read_policy

if TYPE_CHECKING:
    from pathlib import Path

    from lumenkeep.core.policy import Policy

DAY = date(2026, 11, 30)
HEAD = """
[set]
id = "own"
title = "Our own"
version = "1"
extends = "quillmere"
call = "the vascular access nurse on call"
"""
EMPTY = """
[[require]]
id = "require-port-needle-stay"
because = "Ours says nothing."
source = "common-practice"
"""
LOOSENED = """
[[loosened]]
id = "require-port-needle-stay"
because = "Our needles are of another kind"
source = "common-practice"
"""
TWO_WEEKS = """
[number.port-needle]
means = "Longest stay of a port needle in use"
unit = "calendar-days"
values = [{ from = 2024-01-01, value = 14, source = "common-practice" }]
"""


def own(folder: Path, text: str, **files: str) -> str:
    (folder / "set.toml").write_text(HEAD + text, encoding="utf-8")
    for name, content in files.items():
        (folder / f"{name}.toml").write_text(content, encoding="utf-8")
    return str(folder)


def faults(folder: Path, text: str, **files: str) -> list[str]:
    with pytest.raises(PolicyError) as refused:
        load_policy(own(folder, text, **files))
    return [str(fault) for fault in refused.value.faults]


def of_the_core(policy: Policy) -> set[str]:
    return {r.id for r in policy.every_rule() if r.id.startswith("core:")}


def breaches(policy: Policy, day: date = DAY) -> list[str]:
    assert policy.core is not None
    return [one.says for one in core_breaches(policy, policy.core, day)]


@pytest.mark.parametrize("name", [*shipped_sets(), "published"])
def test_a_shipped_set_says_the_core_itself_and_holds_it(name: str) -> None:
    policy = load_policy(name)

    assert of_the_core(policy) == set()
    assert name == "published" or breaches(policy) == []


def test_a_requirement_undone_by_an_empty_one_counts_all_the_same(
    tmp_path: Path,
) -> None:
    policy = load_policy(own(tmp_path, EMPTY))

    assert of_the_core(policy) == {"core:require-port-needle-stay"}
    kept = next(r for r in policy.requirements if r.id.startswith("core:"))
    assert policy.numbers[str(kept.stays_at_most)].id.startswith("core:")
    assert "7 d" in kept.because


def test_a_number_that_a_requirement_rests_on_cannot_be_moved_away(
    tmp_path: Path,
) -> None:
    moved = (
        '[number.newborn-until]\nmeans = "newborn until"\nunit = "h"\n'
        'values = [{ from = 2024-01-01, value = 1, source = "common-practice" }]\n'
    )

    policy = load_policy(own(tmp_path, moved))

    assert "core:require-iodine-off-newborn" in of_the_core(policy)
    assert policy.numbers["core:newborn-until"].values[0].written == "672"


def poured_together(folder: Path) -> str:
    """Write quillmere and what it extends into one folder, as a set of its own."""
    own_files = "set.toml", "requirements.toml", "sane.toml"
    for name in ("published", "quillmere"):
        for path in (SHIPPED_FOLDER / name).glob("*.toml"):
            if path.name not in own_files:
                text = path.read_text(encoding="utf-8")
                if path.name == "agents.toml":
                    twice = r"\[agent\.(chlorhexidine-alcohol|povidone-iodine)\]"
                    text = re.sub(twice + r".*?(?=\n\[|\Z)", "", text, flags=re.S)
                if path.name == "supplies.toml":
                    text = text.replace('id = "supply-saline"', 'id = "saline-too"')
                (folder / f"{name}-{path.name}").write_text(text, encoding="utf-8")
    head = (SHIPPED_FOLDER / "quillmere" / "set.toml").read_text("utf-8")
    for line in ('extends = "published"\n', 'remove = ["visual-phlebitis"]\n'):
        assert line in head
        head = head.replace(line, "")
    (folder / "set.toml").write_text(head, encoding="utf-8")
    return str(folder)


def test_a_set_that_extends_nothing_is_held_to_the_core(tmp_path: Path) -> None:
    policy = load_policy(poured_together(tmp_path))

    assert "core:require-gauze-stay" in of_the_core(policy)
    assert "core:sane-dry" in of_the_core(policy)
    assert "core:floor-pvi-dry" not in of_the_core(policy)
    assert breaches(policy) == []


def test_a_copy_of_published_beside_the_set_cannot_say_less(tmp_path: Path) -> None:
    for name in ("published", "quillmere"):
        shutil.copytree(SHIPPED_FOLDER / name, tmp_path / name)
    head = tmp_path / "quillmere" / "set.toml"
    text = head.read_text("utf-8").replace('"published"', '"../published"')
    head.write_text(text, encoding="utf-8")
    (tmp_path / "published" / "requirements.toml").write_text("", encoding="utf-8")

    policy = load_policy(str(tmp_path / "quillmere"))

    assert "core:require-gauze-stay" in of_the_core(policy)


def test_what_is_loosened_openly_no_longer_counts_and_is_said_first(
    tmp_path: Path,
) -> None:
    name = own(tmp_path, LOOSENED + TWO_WEEKS)
    policy = load_policy(name)

    assert of_the_core(policy) == set()
    assert "require-port-needle-stay" not in {r.id for r in policy.requirements}

    says = "this set is held to: require-port-needle-stay. Our needles"
    read = reading_in_words(read_policy(policy, DAY))
    assert says in " ".join(read.split("\n\n")[0].split())
    proved = CliRunner().invoke(main, ["prove", name])
    first, of_the_house, *others = proved.output.splitlines()
    assert "require-no-iodine-on-the-smallest" in of_the_house
    assert says in first
    assert not [line for line in others if "require-port-needle-stay" in line]


def test_a_comparison_begins_with_what_is_loosened(tmp_path: Path) -> None:
    name = own(tmp_path, LOOSENED)

    told = CliRunner().invoke(main, ["compare", "quillmere", name])
    as_json = CliRunner().invoke(main, ["compare", "quillmere", name, "--json"])

    lines = told.output.splitlines()
    assert any("B: Loosened" in line for line in lines[:3]), lines[:5]
    said = json.loads(as_json.output)["b"]["said_openly"]
    assert "require-port-needle-stay" in said[0]


def test_a_set_that_extends_one_that_loosens_says_it_too(tmp_path: Path) -> None:
    below, above = tmp_path / "below", tmp_path / "above"
    below.mkdir()
    above.mkdir()
    own(below, LOOSENED)
    own(above, "")
    head = (above / "set.toml").read_text("utf-8")
    head = head.replace('"quillmere"', '"../below"').replace('"own"', '"above"')
    (above / "set.toml").write_text(head, "utf-8")

    policy = load_policy(str(above))

    assert "require-port-needle-stay" in {one.id for one in policy.loosened}
    assert of_the_core(policy) == set()


def test_what_is_taken_out_without_a_word_counts_and_is_named(tmp_path: Path) -> None:
    name = own(tmp_path, 'remove = ["require-port-needle-stay"]\n')
    policy = load_policy(name)

    assert of_the_core(policy) == {"core:require-port-needle-stay"}
    assert breaches(policy) == [
        "'require-port-needle-stay' is taken out, and every set is held to it."
    ]


def test_loosening_nothing_or_twice_is_a_fault(tmp_path: Path) -> None:
    wrong = LOOSENED.replace("port-needle-stay", "port-needel-stay")

    (one,) = faults(tmp_path, wrong)
    assert "did you mean 'require-port-needle-stay'?" in one
    (two,) = faults(tmp_path, LOOSENED + LOOSENED)
    assert "loosened twice" in two
    (three,) = faults(tmp_path, LOOSENED.replace('source = "common-practice"', ""))
    assert "'source' is missing" in three


@pytest.mark.parametrize(
    ("what", "table"),
    [
        ("number", TWO_WEEKS),
        (
            "source",
            '[source.ours]\ntitle = "t"\nbody = "b"\nhow = "common-practice"\n',
        ),
    ],
)
def test_what_stands_in_two_files_names_both(
    tmp_path: Path, what: str, table: str
) -> None:
    told = faults(tmp_path, "", a=table, b=table)

    (one,) = [fault for fault in told if "said twice" in fault]
    assert f"The {what} " in one
    assert "/b.toml: " in one
    assert "/a.toml: " in one


def test_a_rule_in_two_files_names_both(tmp_path: Path) -> None:
    (one,) = faults(tmp_path, "", a=EMPTY, b=EMPTY)

    assert "/b.toml: require[0]" in one
    assert "/a.toml: require[0]" in one


def test_a_number_called_like_one_inside_a_rule_is_refused(tmp_path: Path) -> None:
    (one, *_) = faults(
        tmp_path,
        '[number."require-port-needle-stay.stays_at_most"]\nmeans = "stay"\n'
        'unit = "calendar-days"\n'
        'values = [{ from = 2024-01-01, value = 99, source = "common-practice" }]\n',
    )

    assert "policy-number-of-a-rule" in one


def test_a_rule_may_not_decide_with_a_number_inside_another(tmp_path: Path) -> None:
    text = (
        '[[interval]]\nid = "dressing-gauze-stays"\nbecause = "{not_after}."\n'
        'source = "common-practice"\ntask = "dressing"\n'
        'not_after = "require-gauze-stay.stays_at_most"\n'
    )

    (one,) = faults(tmp_path, text)

    assert "policy-number-of-another-rule" in one


def test_a_floor_counts_by_the_value_of_the_day(tmp_path: Path) -> None:
    floor = (
        '[[floor]]\nid = "floor-pvi-dry"\nbecause = "{at_least}."\n'
        'source = "INS21"\nnumber = "pvi-dry"\nat_least = "least"\n'
        '[number.least]\nmeans = "least"\nunit = "s"\nvalues = [\n'
        '{ from = 2024-01-01, value = 200, source = "INS21" },\n'
        '{ from = 2030-01-01, value = 5, source = "INS21" }]\n'
    )

    (one,) = faults(tmp_path, floor)

    assert "'pvi-dry' is 120 s; INS21 needs at least 200 s" in one


def test_a_value_of_a_later_day_is_held_to_the_core_too(tmp_path: Path) -> None:
    later = (
        '[number.mask-radius]\nmeans = "masks"\nunit = "m"\nvalues = [\n'
        '{ from = 2024-01-01, value = 0.9, source = "common-practice" },\n'
        '{ from = 2031-01-01, value = 0, source = "common-practice" }]\n'
    )

    (one,) = breaches(load_policy(own(tmp_path, later)))

    assert one.startswith("'two-people', masks within, is 0 mm from 2031-01-01 on")


def test_what_was_kept_as_text_is_held_to_the_core_it_was_kept_with(
    tmp_path: Path,
) -> None:
    layers = set_texts(own(tmp_path, EMPTY))

    assert of_the_core(policy_from_texts(layers)) == {"core:require-port-needle-stay"}


def test_a_copy_called_as_the_shipped_set_is_no_measure_once_it_is_kept(
    tmp_path: Path,
) -> None:
    copied = tmp_path / "published"
    shutil.copytree(SHIPPED_FOLDER / "published", copied)
    stays = copied / "requirements.toml"
    text = stays.read_text("utf-8")
    kept, dropped = text.split('[[require]]\nid = "require-port-needle-stay"')
    _, after = dropped.split("[[require]]", 1)
    stays.write_text(f"{kept}[[require]]{after}", encoding="utf-8")
    above = tmp_path / "above"
    shutil.copytree(SHIPPED_FOLDER / "quillmere", above)
    head = above / "set.toml"
    head.write_text(
        head.read_text("utf-8").replace('"published"', '"../published"'), "utf-8"
    )

    on_disk = load_policy(str(above))

    assert "core:require-port-needle-stay" in of_the_core(on_disk)
    assert of_the_core(policy_from_texts(set_texts(str(above)))) == of_the_core(on_disk)


# ------------------------------------------------- what a set requires of itself

LIGHTEST = "require-none-under-1000-g"
LOOSER = f"""
[[require]]
id = "{LIGHTEST}"
because = "Lighter than {{mass.below}}: no chlorhexidine."
source = "common-practice"
not_agent = ["chlorhexidine-alcohol"]
when = [{{ mass = {{ below = {{ value = 500, unit = "g", from = 2024-01-01, source = "common-practice" }} }} }}]
"""
OPENLY = f"""
[[loosened]]
id = "{LIGHTEST}"
because = "The board decided so, with the skin nurses."
source = "common-practice"
"""


@pytest.mark.parametrize(
    ("text", "says"),
    [(f'remove = ["{LIGHTEST}"]\n', "takes out"), (LOOSER, "says otherwise")],
)
def test_what_a_set_requires_of_itself_counts_for_those_that_extend_it(
    tmp_path: Path, text: str, says: str
) -> None:
    (one,) = breaches(load_policy(own(tmp_path, text)))

    assert one.startswith(
        f"'quillmere' requires '{LIGHTEST}' of itself; this set {says}"
    )


def test_what_a_set_requires_of_itself_is_given_up_openly(tmp_path: Path) -> None:
    policy = load_policy(own(tmp_path, OPENLY))

    assert breaches(policy) == []
    assert LIGHTEST not in {rule.id for rule in policy.requirements}
    assert LIGHTEST in {one.id for one in policy.loosened}


# ------------------------------------------------------------------ procedures


def with_steps(folder: Path, text: str = "", **files: str) -> Policy:
    (folder / "procedures").mkdir()
    for name, content in files.items():
        (folder / "procedures" / f"{name}.toml").write_text(content, encoding="utf-8")
    return load_policy(own(folder, text))


def test_a_file_of_asepsis_that_holds_nothing_makes_nothing_aseptic(
    tmp_path: Path,
) -> None:
    whole = bedside_of(load_policy("quillmere"))

    bedside = bedside_of(with_steps(tmp_path, asepsis="# nothing\n"))

    assert {rule.id for rule in bedside.rules} == {rule.id for rule in whole.rules}
    assert {one.id for one in bedside.needed} == {one.id for one in whole.needed}
    assert {one.id for one in bedside.safe} == {one.id for one in whole.safe}


def test_a_rule_of_asepsis_said_laxer_counts_beside_the_core_s(tmp_path: Path) -> None:
    text = (SHIPPED_FOLDER / "published/procedures/asepsis.toml").read_text("utf-8")
    stricter = 'given = [{ gloves = ["sterile"] }, { field = ["open"] }]'
    assert text.count(stricter) == 1

    bedside = bedside_of(
        with_steps(
            tmp_path, asepsis=text.replace(stricter, 'given = [{ field = ["open"] }]')
        )
    )

    assert {"in-sight", "core:in-sight"} <= {rule.id for rule in bedside.rules}


def test_a_rule_of_asepsis_is_loosened_by_its_id(tmp_path: Path) -> None:
    loose = LOOSENED.replace("require-port-needle-stay", "in-sight")

    bedside = bedside_of(with_steps(tmp_path, loose, asepsis="# nothing\n"))

    assert "in-sight" not in {rule.id for rule in bedside.rules}
    assert "margin" in {rule.id for rule in bedside.rules}


def test_an_unchanged_copy_of_a_procedure_is_as_the_original(tmp_path: Path) -> None:
    folder = SHIPPED_FOLDER / "published" / "procedures"
    copies = {p.stem: p.read_text("utf-8") for p in folder.glob("*.toml")}
    whole = bedside_of(load_policy("quillmere"))

    bedside = bedside_of(with_steps(tmp_path, **copies))

    assert [r.id for r in bedside.rules] == [r.id for r in whole.rules]
    for id_, procedure in whole.procedures.items():
        assert [s.id for s in bedside.procedures[id_].steps] == [
            s.id for s in procedure.steps
        ]
    assert bedside.numbers.keys() == whole.numbers.keys()


@pytest.mark.parametrize(
    ("was", "now", "says"),
    [
        (
            'value = 300, source = "line-trouble"',
            'value = 30, source = "line-trouble"',
            "presses for",
        ),
        (
            'value = 15, source = "epic3"',
            'value = 2, source = "epic3"',
            "'hub-scrub' is 2 s",
        ),
    ],
)
def test_a_number_of_a_procedure_is_under_the_same_floors(
    tmp_path: Path, was: str, now: str, says: str
) -> None:
    text = (SHIPPED_FOLDER / "published/procedures/sources.toml").read_text("utf-8")
    policy = with_steps(tmp_path, sources=text.replace(was, now))
    assert was in text

    found = [breach.says for breach in procedure_part(policy, DAY).breaches]

    assert any(says in one for one in found), found


def test_a_procedure_in_two_files_names_both(tmp_path: Path) -> None:
    text = (SHIPPED_FOLDER / "published/procedures/re-cover.toml").read_text("utf-8")

    with pytest.raises(PolicyError) as refused:
        bedside_of(with_steps(tmp_path, a=text, b=text))

    told = [str(fault) for fault in refused.value.faults]
    assert any("The procedure 're-cover' is said twice" in one for one in told), told


# ---------------------------------------------------------------------- copies


def proved(policy: Policy) -> list[tuple[str, int, tuple[object, ...]]]:
    return [(p.name, p.claims, p.breaches) for p in prove_parts(policy, DAY)]


@pytest.mark.parametrize("with_base", [False, True])
def test_an_unchanged_copy_proves_as_the_original(
    tmp_path: Path,
    with_base: bool,
) -> None:
    shutil.copytree(SHIPPED_FOLDER / "uk-guideline", tmp_path / "uk-guideline")
    if with_base:
        shutil.copytree(SHIPPED_FOLDER / "published", tmp_path / "published")
        head = tmp_path / "uk-guideline" / "set.toml"
        text = head.read_text("utf-8").replace('"published"', '"../published"')
        head.write_text(text, encoding="utf-8")

    copy = load_policy(str(tmp_path / "uk-guideline"))

    assert of_the_core(copy) == set()
    assert proved(copy) == proved(load_policy("uk-guideline"))
    steps = [r.id for r in bedside_of(copy).rules]
    assert steps == [r.id for r in bedside_of(load_policy("uk-guideline")).rules]
