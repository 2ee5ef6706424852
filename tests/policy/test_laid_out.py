"""What a plan lays out is what the steps use, by count and size, for every child."""

from __future__ import annotations

import shutil
from collections import Counter
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any

import pytest
from tests.policy.own_set import OwnSet
from tests.policy.test_mutants import without_rule

from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.solver import boundary_cases
from lumenkeep.core.proving.lay_out import lay_out_part
from lumenkeep.core.recovery.chosen_branch import guided_branch
from lumenkeep.core.recovery.lay_out import items_by_supply, plan_rows, planned_rows
from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.files.case.case_file import case_from_mapping

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

DAY = date(2026, 11, 30)
SHIPPED = ("quillmere", "uk-guideline", "us-guideline")
SUPPLIES = "published/supplies.toml"
CHANGE = "published/procedures/dressing-change.toml"
ONE = 'count = { value = 1, unit = "count", from = 2024-01-01, source = "common-practice", how = "common-practice" }'


def without(*ids: str) -> Callable[[OwnSet], object]:
    """Return a change that takes rules of supply out, wherever they stand."""

    def change(own: OwnSet) -> None:
        for file in (SUPPLIES, "uk-guideline/people.toml"):
            path = own.folder / file
            text = path.read_text(encoding="utf-8")
            for id_ in ids:
                if f'id = "{id_}"\n' in text:
                    text = without_rule(text, id_)
            path.write_text(text, encoding="utf-8")

    return change


def fewer_swabs(agent: str) -> Callable[[OwnSet], object]:
    """Return a change of the set's own swabs to the published row with one less."""

    def change(own: OwnSet) -> None:
        without(f"supply-swabs-{agent}")(own)
        own.add(
            "uk-guideline/people.toml",
            f'\n[[supply]]\nid = "supply-swabs-{agent}"\nbecause = "The antiseptic."\n'
            f'source = "common-practice"\nitem = "swabs-{agent}"\nlabel = "Swabs"\n'
            f'{ONE.replace("= 1,", "= 2,")}\nwhen = [{{ agent = {{ is = ["{agent}"] }} }}]\n',
        )

    return change


def fewer(label: str, count: int) -> Callable[[OwnSet], object]:
    """Return a change by which one less of a supply is laid out."""

    def change(own: OwnSet) -> None:
        more, less = (f'{label}"\ncount = {{ value = {n}' for n in (count, count - 1))
        own.swap(SUPPLIES, more, less)

    return change


def swapped(find: str, put: str, file: str = SUPPLIES) -> Callable[[OwnSet], object]:
    """Return a change of one text."""
    return lambda own: own.swap(file, find, put)


FAULTS: list[tuple[str, Callable[[OwnSet], object], str]] = [
    (
        "two swabs are laid out for a scrub with three",
        fewer_swabs("chlorhexidine-alcohol"),
        "Swab of the planned antiseptic, 3",
    ),
    (
        "two swabs of iodine are laid out for three",
        fewer_swabs("povidone-iodine"),
        "Swab of the planned antiseptic, 3",
    ),
    (
        "no swab for chlorhexidine in water",
        without("supply-swabs-chlorhexidine-aqueous"),
        "Swab",
    ),
    ("no drape lies ready", without("supply-drape", "supply-drape-newborn"), "drape"),
    (
        "none for the newborn whose drape is soaked",
        without("supply-drape-newborn"),
        "NEO13d",
    ),
    ("the operator has no sterile gloves", without("supply-gloves-operator"), "D10"),
    (
        "the operator's gloves are in the assistant's size",
        swapped('size_of = "operator"', 'size_of = "assistant"'),
        "laid out in the assistant’s size",
    ),
    (
        "the assistant's gloves are in the operator's size",
        swapped('size_of = "assistant"', 'size_of = "operator"'),
        "laid out in the operator’s size",
    ),
    (
        "the film is in nobody's size",
        swapped('"Clear film"\nsize_of = "film"\n', '"Clear film"\n'),
        "laid out in no size",
    ),
    (
        "one mask for two people",
        fewer("Masks for operator and assistant; one more for each person near", 2),
        "Mask, 2",
    ),
    ("no mask for a child old enough for one", without("supply-mask-child"), "PR12c"),
    ("one pair of clean gloves for two", fewer("Clean gloves, pairs", 2), "D3"),
    ("no film", without("supply-film"), "D18"),
    ("no gauze for a dressing of gauze", without("supply-gauze-dressing"), "GAU18"),
    ("one strip for two", fewer("Sterile strips", 2), "D17"),
    ("nothing to take iodine off with", without("supply-saline"), "PVI15"),
    (
        "nothing to take the excess off a newborn",
        without("supply-saline-newborn"),
        "NEO15",
    ),
    ("no tape that holds the gauze", without("supply-tape"), "GAU18"),
    ("no wipe for the surface", without("supply-surface-wipe"), "PR8"),
    ("no field", without("supply-field"), "D1"),
    ("no tape measure", without("supply-tape-measure"), "D5"),
    (
        "strips only where nobody is in intensive care",
        swapped(
            f'"Sterile strips"\n{ONE.replace("= 1,", "= 2,")}\nwhen = [{{ sens',
            f'"Sterile strips"\n{ONE.replace("= 1,", "= 2,")}\n'
            'when = [{ unit = { is = ["ward"] }, sens',
        ),
        "D17",
    ),
    (
        "a step takes twice the film that is there",
        swapped("uses = { barrier-film = 1 }", "uses = { barrier-film = 2 }", CHANGE),
        "D16",
    ),
    (
        "a step takes what no plan names",
        swapped("uses = { tape-measure = 1 }", "uses = { stitch-cutter = 1 }", CHANGE),
        "Stitch cutter",
    ),
]


@pytest.mark.parametrize("name", SHIPPED)
def test_a_shipped_set_lays_out_what_its_steps_use(name: str) -> None:
    part = lay_out_part(load_policy(name), DAY)

    assert [breach.says for breach in part.breaches] == []
    assert part.claims > 40


def test_an_unchanged_file_of_one_procedure_is_held_to_its_own_plan_alone(
    tmp_path: Path,
) -> None:
    own = OwnSet(tmp_path)
    there = tmp_path / "quillmere" / "procedures"
    there.mkdir()
    file = "dressing-change.toml"
    shutil.copy(tmp_path / "published" / "procedures" / file, there / file)

    part = lay_out_part(own.read(), DAY)

    assert [breach.says for breach in part.breaches] == []


@pytest.mark.parametrize(
    ("change", "says"),
    [(change, says) for _, change, says in FAULTS],
    ids=[wrong for wrong, _, _ in FAULTS],
)
def test_a_lay_out_made_wrong_by_hand_is_caught(
    tmp_path: Path, change: Callable[[OwnSet], object], says: str
) -> None:
    own = OwnSet(tmp_path, "uk-guideline")
    change(own)

    part = lay_out_part(own.read(), DAY)

    assert not part.holds
    assert any(says in breach.says for breach in part.breaches)
    assert all(breach.mend for breach in part.breaches)


def test_the_child_shown_is_one_for_whom_too_little_lies_ready(tmp_path: Path) -> None:
    own = OwnSet(tmp_path, "uk-guideline")
    without("supply-drape-newborn")(own)
    policy = own.read()

    [breach] = lay_out_part(policy, DAY).breaches

    shown = breach.shown_by
    assert shown is not None
    case = case_from_mapping(shown.case, "example", bounds=policy.bounds)
    plan = plan_change(case, datetime.fromisoformat(shown.at), policy)
    assert sum(one.count for one in plan.supplies if one.item == "sterile-drape") == 1
    assert (
        case.child.unit == "newborn-intensive-care" or "unit" not in shown.case["child"]
    )


def test_a_count_that_falls_on_a_day_to_come_is_a_breach_from_then(
    tmp_path: Path,
) -> None:
    own = OwnSet(tmp_path, "uk-guideline")
    own.swap(
        SUPPLIES,
        'label = "Clean gloves, pairs"\ncount = { value = 2, unit = "count", from = '
        '2024-01-01, source = "common-practice", how = "common-practice" }',
        'label = "Clean gloves, pairs"\ncount = "pairs"',
    ).add(
        SUPPLIES,
        '\n[number.pairs]\nmeans = "pairs of clean gloves"\nunit = "count"\nvalues = [\n'
        '  { from = 2024-01-01, value = 2, source = "common-practice" },\n'
        '  { from = 2030-01-01, value = 1, source = "common-practice" },\n]\n',
    )

    [breach] = lay_out_part(own.read(), DAY).breaches

    assert breach.since == date(2030, 1, 1)
    assert "D3" in breach.says


# ------------------------------------------------- plan, guide and procedure agree


def _plans(name: str) -> list[tuple[Any, Any]]:
    policy = load_policy(name)
    found = []
    for one in boundary_cases(policy, DAY):
        if one.expected.verdict == "plan" and one.expected.dressing:
            case = case_from_mapping(one.shown.case, "example", bounds=policy.bounds)
            at = datetime.fromisoformat(one.shown.at).astimezone(UTC)
            found.append((case, plan_change(case, at, policy)))
    return found


@pytest.mark.timeout(300)
@pytest.mark.parametrize("name", SHIPPED)
@pytest.mark.parametrize(
    "answers",
    [
        {"soil": "no", "securement": "keep"},
        {"soil": "yes", "securement": "keep"},
        {"soil": "no", "securement": "change"},
        {"soil": "yes", "securement": "change"},
    ],
    ids=lambda a: "-".join(a.values()),
)
def test_plan_guide_and_steps_speak_of_the_same_things(
    name: str, answers: dict[str, str]
) -> None:
    """The guide shows the plan's list, and on top what an answer asks for.

    With the usual answers nothing comes on top: the plan had it all.
    """
    policy = load_policy(name)
    usual = answers == {"soil": "no", "securement": "keep"}
    seen = Counter[str]()
    for case, plan in _plans(name)[::7]:
        bedside = bedside_of(policy, plan.at.date())
        chosen = guided_branch(policy, bedside, case, plan, "dressing-change", answers)
        rows = planned_rows(chosen, plan)
        by_supply = items_by_supply(bedside.items, chosen.branch.items, plan)
        used = dict(zip(chosen.branch.items, chosen.branch.planned(), strict=True))
        there: Counter[str] = Counter()
        for row in rows:
            there[row["item"]] += row["count"]

        lacking = {i: n for i, n in used.items() if there[i] < n}
        on_top = [row for row in rows if row.get("more")]
        told = [(row["item"], row["count"]) for row in rows if not row.get("more")]
        planned = [
            (by_supply.get(r["supply"], r["supply"]), r["count"])
            for r in plan_rows(plan)
        ]

        assert lacking == {}
        assert told == planned
        assert all(row["item"] in used for row in on_top)
        if usual:
            assert [r for r in on_top if r["item"] not in _in_the_room(bedside)] == []
        seen[plan.antiseptic.agent] += 1
    assert set(seen) == set(policy.antiseptics)


def _in_the_room(bedside: Any) -> set[str]:
    return {spare.item for spare in bedside.room}
