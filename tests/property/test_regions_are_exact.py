"""A child is answered differently where a region's words say so, and nowhere else.

Children are drawn at random and on both sides of limits; the planner is asked of each,
under both sets, and a region is read from its words.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from random import Random
from typing import TYPE_CHECKING, Any

import pytest
from tests.fakes.changed_set import changed, with_more
from tests.fakes.children_in_words import is_in

from lumenkeep.core.comparing.compare_policies import compare_policies
from lumenkeep.core.comparing.sides import outcome_of
from lumenkeep.core.model import words
from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import Situation, load_policy, window_for
from lumenkeep.core.policy.bounds import at_any_age
from lumenkeep.files.case.case_file import case_from_mapping

if TYPE_CHECKING:
    from lumenkeep.core.comparing.children import ChildrenDifference
    from lumenkeep.core.comparing.sides import Outcome
    from lumenkeep.core.model import Case
    from lumenkeep.core.policy import Policy

DAY = date(2026, 11, 30)
AT = datetime(2026, 11, 30, 9, 30, tzinfo=UTC)
CHILDREN = 300
BOUNDS = at_any_age(load_policy("quillmere").bounds)
NUMBER = '{{ value = {}, unit = "{}", from = 2024-01-01, source = "common-practice" }}'
AGES_DAYS = (
    0,
    1,
    6,
    7,
    8,
    27,
    28,
    29,
    55,
    58,
    62,
    63,
    180,
    183,
    184,
    364,
    366,
    2000,
    2500,
)


def barring(whom: str) -> Policy:
    """The demo hospital's set with one more bar on its first choices."""
    return with_more(
        "quillmere/antisepsis.toml",
        f"""
[[exclude]]
id = "one-more"
because = "One more."
source = "common-practice"
bars = ["chlorhexidine-alcohol", "transparent-chg-gel"]
when = [{whom}]
""",
    )


def limit(value: str, unit: str) -> str:
    return NUMBER.format(value, unit)


PAIRS = {
    "two shipped sets": lambda: load_policy("uk-guideline"),
    "two others": lambda: load_policy("us-guideline"),
    "lumens": lambda: barring(f"{{ lumens = {{ at_least = {limit('2', 'count')} }} }}"),
    "postmenstrual age": lambda: barring(
        f"{{ postmenstrual_age = {{ below = {limit(chr(34) + '44w0d' + chr(34), 'weeks+days')} }} }}, "
        f"{{ postmenstrual_age = {{ above = {limit(chr(34) + '60w0d' + chr(34), 'weeks+days')} }}, mass = {{ at_most = {limit('3500', 'g')} }} }}"
    ),
    "a finding and a unit": lambda: barring(
        '{ findings = { includes = ["damp", "loose"] }, unit = { is = ["ward"] } }, '
        '{ findings = { includes_all = ["soiled", "sodden"] } }'
    ),
    "film and skin": lambda: changed(
        "published/child.toml", "value = 110, source", "value = 120, source"
    ),
    "ages in months and weeks of pregnancy": lambda: barring(
        f"{{ age = {{ at_least = {limit('18', 'calendar-months')} }}, lumens = {{ below = {limit('3', 'count')} }} }}, "
        f"{{ gestation_at_birth = {{ above = {limit(chr(34) + '33w0d' + chr(34), 'weeks+days')} }}, age = {{ below = {limit('1406', 'h')} }} }}"
    ),
    "an interval": lambda: changed(
        "quillmere/dressing.toml", "value = 7, source", "value = 5, source"
    ),
}


def read(told: dict[str, Any]) -> Case:
    return case_from_mapping(told, "example", bounds=BOUNDS)


def a_child(drawn: Random) -> dict[str, Any]:
    """A child of whom everything is known, most often near some limit."""
    minutes = drawn.choice((-1, 0, 1, 700))
    born = AT - timedelta(days=drawn.choice(AGES_DAYS), minutes=minutes)
    some = [w for w in words.SENSITIVITIES if drawn.random() < 0.12]
    kind = drawn.choice(list(words.LINE_KINDS))
    return {
        "child": {
            "born": min(born, AT).isoformat(),
            "gestation_at_birth": f"{drawn.choice((24, 27, 28, 31, 33, 34, 36, 37, 40))}w"
            f"{drawn.choice((0, 6))}d",
            "weights": [
                {
                    "at": AT.isoformat(),
                    "g": drawn.choice((700, 999, 1000, 1499, 1500, 3500, 3501, 9000)),
                }
            ],
            "skin_at_site": drawn.choice(("intact", "intact", "broken")),
            "unit": drawn.choice(list(words.UNITS)),
            "sensitivities": some,
        },
        "line": {
            "kind": kind,
            "site": drawn.choice(list(words.SITES)),
            "lumens": drawn.choice((1, 2, 3)),
            "needle_in": drawn.random() < 0.5,
            "in_use": drawn.random() < 0.5,
            "tunnelled": drawn.random() < 0.5,
            "patency": drawn.choice(list(words.PATENCY)),
            "dressing": {
                "findings": [w for w in words.FINDINGS if drawn.random() < 0.15]
            },
        },
    }


def apart(one: Outcome, two: Outcome, aspect: str) -> bool:
    """What differing means, aspect by aspect, said anew."""
    if aspect == "antiseptic":
        return (one.verdict, one.agent) != (two.verdict, two.agent)
    if aspect == "technique":
        ways = [
            (o.swabs, o.scrub_s, o.dry_s, o.residue, o.motion, o.area_mm)
            for o in (one, two)
        ]
        return one.agent is not None and one.agent == two.agent and ways[0] != ways[1]
    both = one.verdict == two.verdict == "plan"
    return both and (one.dressing, one.stays_h) != (two.dressing, two.stays_h)


def holds(said: Any, outcome: Outcome) -> bool:
    return all(
        getattr(outcome, name) == value
        for name, value in said.items()
        if name != "strength"
    )


def now(
    differences: tuple[ChildrenDifference, ...], aspect: str
) -> list[ChildrenDifference]:
    return [d for d in differences if d.aspect == aspect and d.from_on is None]


@pytest.mark.parametrize("name", PAIRS)
def test_children_are_answered_as_the_words_of_the_regions_say(name: str) -> None:
    one, two = load_policy("quillmere"), PAIRS[name]()
    found = compare_policies(one, two, DAY, read)
    drawn = Random(name)  # noqa: S311  which children, always the same
    met = 0

    assert found.faults == ()
    assert found.differences
    for _ in range(CHILDREN):
        case = read(a_child(drawn))
        child = Situation(case, AT)
        answers = [outcome_of(plan_change(case, AT, policy)) for policy in (one, two)]
        for aspect in ("antiseptic", "technique", "dressing"):
            regions = [d for d in now(found.differences, aspect) if is_in(child, d.who)]
            assert bool(regions) is apart(*answers, aspect), (aspect, case)
            for region in regions:
                assert holds(region.one, answers[0])
                assert holds(region.two, answers[1])
                met += 1
        met += due_as_told(found.differences, child, (one, two))
    assert met


def due_as_told(
    differences: tuple[ChildrenDifference, ...],
    child: Situation,
    sets: tuple[Policy, Policy],
) -> int:
    """Hold the windows of every task that is told of to those of this line."""
    asked = {
        (d.one["task"], d.one.get("dressing"), d.one.get("set_kind"))
        for d in now(differences, "due")
    }
    met = 0
    for task, child.dressing, child.set_kind in asked:
        windows = [window_for(policy.on(DAY), child, task) for policy in sets]
        spans = [
            None
            if w is None or w.is_nothing
            else [s and s.nominal_hours() for s in (w.not_before, w.not_after)]
            for w in windows
        ]
        inside = [
            d
            for d in now(differences, "due")
            if (d.one["task"], d.one.get("dressing"), d.one.get("set_kind"))
            == (task, child.dressing, child.set_kind)
            and is_in(child, d.who)
        ]
        is_apart = spans[0] != spans[1] or [w is None for w in windows] in (
            [True, False], [False, True],
        )  # fmt: skip
        assert bool(inside) is is_apart, (task, windows)
        met += len(inside)
    return met


@pytest.mark.parametrize("name", PAIRS)
def test_an_example_is_one_of_its_region_and_its_reasons_are_the_region_s(
    name: str,
) -> None:
    one, two = load_policy("quillmere"), PAIRS[name]()

    for difference in compare_policies(one, two, DAY, read).differences:
        at = datetime.fromisoformat(difference.at)
        case = read(difference.case)
        assert is_in(Situation(case, at), difference.who)
        if difference.aspect == "due":
            continue
        for policy, said, why in (
            (one, difference.one, difference.why_one),
            (two, difference.two, difference.why_two),
        ):
            plan = plan_change(case, at, policy)
            assert holds(said, outcome_of(plan))
            fired = {rule.rule for rule in plan.fired}
            fired |= {plan.dressing.rule} if plan.dressing else set()
            always = {reason.rule for reason in why if reason.everywhere}
            assert always - {f.id for f in policy.films} <= fired
