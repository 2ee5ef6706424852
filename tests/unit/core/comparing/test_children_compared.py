"""For which children two sets answer differently, from when, and why: by hand."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

import pytest
from tests.fakes.changed_set import changed, with_more

from lumenkeep.core.comparing.compare_policies import compare_policies
from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.bounds import at_any_age
from lumenkeep.files.case.case_file import case_from_mapping
from lumenkeep.files.comparison import said_in_words, who_in_words

if TYPE_CHECKING:
    from lumenkeep.core.comparing.children import ChildrenDifference
    from lumenkeep.core.comparing.compare_policies import PolicyComparison
    from lumenkeep.core.model import Case
    from lumenkeep.core.policy import Policy

DAY = date(2026, 11, 30)
QUILLMERE = load_policy("quillmere")
BOUNDS = at_any_age(QUILLMERE.bounds)
DRESSING, SKIN = "quillmere/dressing.toml", "quillmere/antisepsis.toml"


def read(told: Any) -> Case:
    return case_from_mapping(told, "example", bounds=BOUNDS)


def compared(two: Policy, one: Policy = QUILLMERE) -> PolicyComparison:
    found = compare_policies(one, two, DAY, read)
    assert found.faults == ()
    return found


def told(found: PolicyComparison) -> set[tuple[str, str, str]]:
    """What is said of each difference: for whom, and what each answers."""
    return {
        (
            who_in_words(d),
            said_in_words(d, d.one, found.one),
            said_in_words(d, d.two, found.two),
        )
        for d in found.differences
    }


def one_aspect(found: PolicyComparison) -> tuple[str, list[ChildrenDifference]]:
    [aspect] = {d.aspect for d in found.differences}
    return aspect, list(found.differences)


LINES_OF_UMBILICUS = "umbilical venous line or umbilical arterial line"
WINDOWS = [
    (
        "an umbilical arterial line",
        (DRESSING, "value = 5, source", "value = 10, source"),
        {
            (
                "Longest stay of the line: line: umbilical arterial line",
                "by 5 days",
                "by 10 days",
            )
        },
    ),
    (
        "an umbilical venous line",
        (DRESSING, "value = 14, source", "value = 28, source"),
        {
            (
                "Longest stay of the line: line: umbilical venous line",
                "by 14 days",
                "by 28 days",
            )
        },
    ),
    (
        "a port needle",
        (
            DRESSING,
            'value = 7, source = "INS21", how = "memory"',
            'value = 9, source = "INS21", how = "memory"',
        ),
        {
            (
                "Port needle: line: implanted port; needle in the port: yes",
                "by 7 days",
                "by 9 days",
            )
        },
    ),
    (
        "connectors",
        (DRESSING, 'value = 96, source = "INS21"', 'value = 72, source = "INS21"'),
        {
            (
                "Needleless connectors: line: not implanted port",
                "not before 4 × 24 h, by 7 days",
                "not before 3 × 24 h, by 7 days",
            ),
            (
                "Needleless connectors: needle in the port: yes",
                "not before 4 × 24 h, by 7 days",
                "not before 3 × 24 h, by 7 days",
            ),
        },
    ),
    (
        "a set that has carried lipid",
        (
            DRESSING,
            'changed by then"\nunit = "h"\nvalues = [{ from = 2024-01-01, value = 24',
            'changed by then"\nunit = "h"\nvalues = [{ from = 2024-01-01, value = 12',
        ),
        {
            (
                "Administration set, lipid: line: not implanted port; line in use: yes",
                "by 24 h",
                "by 12 h",
            ),
            (
                "Administration set, lipid: needle in the port: yes; line in use: yes",
                "by 24 h",
                "by 12 h",
            ),
        },
    ),
    (
        "whether the line is needed",
        (
            DRESSING,
            'value = 1, source = "CDC11"',
            'value = 2, source = "CDC11"',
        ),
        {("Is the line still needed?: every child", "by 1 day", "by 2 days")},
    ),
    (
        "a look at the site",
        (
            DRESSING,
            'value = 1, source = "INS21", how = "memory"',
            'value = 3, source = "INS21", how = "memory"',
        ),
        {("Look at the site: every child", "by 1 day", "by 3 days")},
    ),
    (
        "connectors of a port at rest",
        (
            DRESSING,
            'task = "connector"\nnothing_due = true\npriority = 9\nwhen = [{ line_kind = { is = ["port"] }, needle_in = { is = ["no"] } }]',
            'task = "connector"\nnothing_due = true\npriority = 9\nwhen = [{ line_kind = { is = ["port"] }, needle_in = { is = ["no"] }, in_use = { is = ["no"] } }]',
        ),
        {
            (
                (
                    "Needleless connectors: line: implanted port; "
                    "needle in the port: no; line in use: yes"
                ),
                "nothing due",
                "not before 4 × 24 h, by 7 days",
            )
        },
    ),
]


@pytest.mark.parametrize(
    ("edit", "wanted"), [pytest.param(e, w, id=name) for name, e, w in WINDOWS]
)
def test_a_task_due_otherwise_is_told_with_its_lines(
    edit: tuple[str, str, str], wanted: set[tuple[str, str, str]]
) -> None:
    found = compared(changed(*edit))

    assert one_aspect(found)[0] == "due"
    assert told(found) == wanted
    assert found.is_fewest


def test_a_dressing_is_due_otherwise_for_each_that_is_worn() -> None:
    found = compared(changed(DRESSING, "value = 2, source", "value = 1, source"))

    worn = {d.one["dressing"] for d in found.differences if d.aspect == "due"}
    assert worn == {"gauze", "gauze-under-transparent", "bridge"}
    [put_on] = {
        (d.one["dressing"], d.one["stays_h"], d.two["stays_h"])
        for d in found.differences
        if d.aspect == "dressing"
    }
    assert put_on == ("gauze", 48.0, 24.0)


@pytest.mark.parametrize(
    ("edit", "one", "two"),
    [
        (
            (SKIN, 'value = 2, source = "label-CHG"', 'value = 20, source = "label-CHG"'),
            {"agent": "chlorhexidine-alcohol", "strength": 2.0},
            {"agent": "chlorhexidine-alcohol", "strength": 20.0},
        ),
        (
            (SKIN, '"outward-circles"', '"back-and-forth"'),
            {"agent": "povidone-iodine", "motion": "outward-circles"},
            {"agent": "povidone-iodine", "motion": "back-and-forth"},
        ),
        (
            (SKIN, 'residue_removed_with = "sterile-saline"\n', ""),
            {"agent": "povidone-iodine", "residue": "sterile-saline"},
            {"agent": "povidone-iodine", "residue": None},
        ),
        (
            (
                SKIN,
                'means = "Swabs of povidone-iodine"\nunit = "count"\nvalues = [{ from = 2024-01-01, value = 3',
                'means = "Swabs of povidone-iodine"\nunit = "count"\nvalues = [{ from = 2024-01-01, value = 4',
            ),
            {"agent": "povidone-iodine", "swabs": 3},
            {"agent": "povidone-iodine", "swabs": 4},
        ),
        (
            (SKIN, 'value = 30, source = "label-CHG"', 'value = 45, source = "label-CHG"'),
            {"agent": "chlorhexidine-alcohol", "dry_s": 30},
            {"agent": "chlorhexidine-alcohol", "dry_s": 45},
        ),
    ],
    ids=["strength", "motion", "what takes it off", "swabs", "drying"],
)  # fmt: skip
def test_of_an_antiseptic_used_otherwise_only_what_differs_is_told(
    edit: tuple[str, str, str], one: dict[str, Any], two: dict[str, Any]
) -> None:
    aspect, differences = one_aspect(compared(changed(*edit)))

    assert aspect == "technique"
    assert all((dict(d.one), dict(d.two)) == (one, two) for d in differences)


def test_what_differs_only_later_says_from_when() -> None:
    later = changed(
        SKIN,
        'value = 1000, source = "common-practice" }',
        'value = 1000, source = "common-practice" }, '
        '{ from = 2028-01-01, value = 1200, source = "common-practice" }',
    )
    found = compared(later)

    assert found.differences
    assert {d.from_on for d in found.differences} == {date(2028, 1, 1)}
    assert {d.until_on for d in found.differences} == {None}
    assert all(
        who_in_words(d).startswith("from 2028-01-01: ") for d in found.differences
    )
    assert all(d.at >= "2028-01-01" for d in found.differences)


def test_what_differs_for_a_while_says_until_when() -> None:
    ends = changed(
        DRESSING,
        '[{ from = 2024-01-01, value = 5, source = "CDC11" }]',
        '[{ from = 2024-01-01, value = 4, source = "CDC11" }, '
        '{ from = 2027-05-01, value = 5, source = "CDC11" }]',
    )

    [difference] = compared(ends).differences

    assert (difference.from_on, difference.until_on) == (None, date(2027, 5, 1))
    assert who_in_words(difference).startswith("until 2027-05-01: ")


def test_a_number_that_begins_later_is_named_as_not_compared_until_then() -> None:
    later = with_more(
        SKIN,
        """
[[exclude]]
id = "later"
because = "Later."
source = "common-practice"
bars = ["povidone-iodine"]
when = [{ mass = { below = { value = 900, unit = "g", from = 2028-01-01, source = "common-practice" } } }]
""",
    )
    found = compared(later)

    assert any("has no value on" in line for line in found.not_compared)
    assert found.over_children == ()
    assert {d.from_on for d in found.differences} == {date(2028, 1, 1)}


def bar(whom: str) -> Policy:
    return with_more(
        SKIN,
        f"""
[[exclude]]
id = "one-more"
because = "One more."
source = "common-practice"
bars = ["povidone-iodine"]
when = [{whom}]
""",
    )


def number(value: str, unit: str) -> str:
    return (
        f'{{ value = {value}, unit = "{unit}", from = 2024-01-01, '
        'source = "common-practice" }'
    )


def test_postmenstrual_age_compares_and_its_examples_are_such_children() -> None:
    found = compared(
        bar(
            f"{{ postmenstrual_age = {{ below = {number(chr(34) + '40w0d' + chr(34), 'weeks+days')} }} }}"
        )
    )

    assert found.differences
    assert found.over_children != ()
    assert any(
        "less than 40w0d of postmenstrual age" in d.who for d in found.differences
    )
    # Born before 28 weeks and younger than 2 months is less, without saying so.
    assert not all("less than 40w0d" in "".join(d.who) for d in found.differences)
    for d in found.differences:
        weeks, days = d.case["child"]["gestation_at_birth"].rstrip("d").split("w")
        born = date.fromisoformat(d.case["child"]["born"][:10])
        age = date.fromisoformat(d.at[:10]) - born
        assert int(weeks) * 7 + int(days) + age.days < 280


@pytest.mark.parametrize(
    ("test", "limit", "words"),
    [
        ("at_least", "2", "2 lumens or more"),
        ("below", "3", "fewer than 3 lumens"),
        ("above", "1", "more than 1 lumens"),
        ("at_most", "4", "4 lumens or fewer"),
    ],
)
def test_a_number_of_lumens_is_no_fault(test: str, limit: str, words: str) -> None:
    found = compared(bar(f"{{ lumens = {{ {test} = {number(limit, 'count')} }} }}"))

    assert found.differences
    assert all(words in d.who for d in found.differences)


def test_a_limit_that_nobody_can_be_beyond_makes_no_region() -> None:
    nobody = compared(bar(f"{{ lumens = {{ above = {number('5', 'count')} }} }}"))

    assert nobody.differences == ()
    assert nobody.statements


def test_ages_that_no_birth_day_has_are_named_and_hinder_nothing() -> None:
    found = compared(
        bar(
            f'{{ age = {{ below = {number("1406", "h")} }}, unit = {{ is = ["ward"] }} }}'
        )
    )

    assert found.differences
    assert found.is_fewest
    [line] = [line for line in found.not_compared if line.startswith("children ")]
    assert "2 calendar months or older, and younger than 1406 h" in line


def test_reasons_are_those_of_the_region_and_say_where_they_hold_for_some() -> None:
    found = compared(load_policy("uk-guideline"))
    stopped = [d for d in found.differences if d.two.get("verdict") == "stop"]
    broken = next(d for d in stopped if d.who[:1] == ("skin: broken",))

    assert [(r.rule, r.everywhere) for r in broken.why_one] == [
        ("chg-skin", True),
        ("povidone-iodine", True),
    ]
    assert ("broken-skin", True) in [(r.rule, r.everywhere) for r in broken.why_two]
    # Where one rule decides for all, those that do for some are not repeated.
    assert all(r.everywhere for r in broken.why_two)


def test_a_reason_of_some_children_of_a_region_is_marked_so() -> None:
    """Two rules together bar all of them, and neither does alone."""
    both = with_more(
        SKIN,
        """
[[exclude]]
id = "on-a-ward"
because = "On a ward."
source = "common-practice"
bars = ["chlorhexidine-alcohol"]
when = [{ unit = { is = ["ward"] } }]

[[exclude]]
id = "not-on-a-ward"
because = "Not on a ward."
source = "common-practice"
bars = ["chlorhexidine-alcohol"]
when = [{ unit = { is_not = ["ward"] } }]
""",
    )
    found = compared(both)

    marked = {
        (r.rule, r.everywhere)
        for d in found.differences
        if d.aspect == "antiseptic"
        for r in d.why_two
        if "ward" in r.rule
    }
    assert marked == {("on-a-ward", False), ("not-on-a-ward", False)}
