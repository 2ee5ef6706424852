"""What lies ready: counts, what the kit holds, glove sizes, and what is in case."""

from __future__ import annotations

from datetime import UTC, datetime
from types import SimpleNamespace
from typing import Any

import pytest

from lumenkeep.core.model import Case, Child, Line, People
from lumenkeep.core.model.case import Person
from lumenkeep.core.planning.layout import layout
from lumenkeep.core.planning.plan import RoleLine, SupplyLine
from lumenkeep.core.planning.supplies import supplies
from lumenkeep.core.policy import Situation
from lumenkeep.core.policy.conditions import Comparison, LiveWhen, live

AT = datetime(2026, 1, 20, 12, 0, tzinfo=UTC)
ALWAYS = LiveWhen(())
IN_CASE = " (in case: this is not decided by what is known)"
NO_SIZES: dict[str, str | None] = {}


def when(*conditions: tuple[str, str]) -> LiveWhen:
    row = (live(Comparison(f, "is", None, (w,)), None) for f, w in conditions)
    return LiveWhen((tuple(row),))


def supply(
    item: str, count: int = 1, rows: LiveWhen = ALWAYS, size_of: str | None = None
) -> Any:
    rule = SimpleNamespace(
        item=item,
        label=f"Label of {item}",
        count=str(count),
        size_of=size_of,
        because=f"For {item}.",
        source=f"source of {item}",
    )
    return SimpleNamespace(rule=rule, when=rows)


def prepared(*rules: Any, **kit: tuple[int, str | None]) -> Any:
    packed = {
        item: SimpleNamespace(count=str(count), size=size)
        for item, (count, size) in kit.items()
    }
    book = SimpleNamespace(supplies=rules, kit=packed, value=int, films=())
    return SimpleNamespace(book=book, layouts={})


def situation(operator: Any = None, assistant: Any = None) -> Situation:
    people = People(
        Person() if operator is None else Person(operator),
        Person() if assistant is None else Person(assistant),
    )
    known = Situation(Case(Child(unit="ward"), Line(), people, UTC), AT)
    known.agent = "an-agent"
    return known


def test_what_the_kit_holds_is_given_once() -> None:
    rules = prepared(supply("drape", 1), supply("drape", 1), drape=(1, None))
    found = supplies(rules, situation(), NO_SIZES)

    assert [(line.count, line.in_kit) for line in found] == [(1, True), (1, False)]


@pytest.mark.parametrize(
    ("needed", "held", "lines"),
    [
        (2, None, [(2, False)]),
        (2, 0, [(2, False)]),
        (2, 1, [(1, True), (1, False)]),
        (2, 2, [(2, True)]),
        (2, 5, [(2, True)]),
        (5, 2, [(2, True), (3, False)]),
        (0, 2, []),
    ],
)
def test_the_kit_gives_what_it_holds_and_the_rest_is_fetched(
    needed: int, held: int | None, lines: list[tuple[int, bool]]
) -> None:
    kit = {} if held is None else {"swab": (held, None)}
    found = supplies(prepared(supply("swab", needed), **kit), situation(), NO_SIZES)

    assert found == tuple(
        SupplyLine(
            "swab", "Label of swab", n, kit_, None, "For swab.", "source of swab"
        )
        for n, kit_ in lines
    )


@pytest.mark.parametrize(
    ("packed", "worn", "in_kit"),
    [("7", "7", 1), ("7", "6.5", 0), ("7", None, 0), (None, None, 0), (None, "7", 0)],
)
def test_a_glove_is_in_the_kit_only_in_the_size_worn(
    packed: str | None, worn: str | None, in_kit: int
) -> None:
    rules = prepared(supply("glove", 2, size_of="operator"), glove=(1, packed))

    found = supplies(rules, situation(), {"operator": worn, "assistant": "7"})

    told = "For glove." if worn else "For glove. (size not known: ask)"
    assert sum(line.count for line in found if line.in_kit) == in_kit
    assert sum(line.count for line in found) == 2
    assert {line.size for line in found} == {worn}
    assert {line.because for line in found} == {told}


def test_a_glove_that_no_kit_holds_is_fetched() -> None:
    rules = prepared(supply("glove", size_of="assistant"))

    [line] = supplies(rules, situation(), {"operator": None, "assistant": "7"})

    assert (line.count, line.in_kit, line.size) == (1, False, "7")


def test_what_the_case_leaves_open_is_laid_out_after_what_comes_before() -> None:
    rules = prepared(
        supply("first"),
        supply("open", rows=when(("site", "chest"))),
        supply("also-open", rows=when(("dressing", "gauze"), ("site", "chest"))),
        supply("planned", rows=when(("dressing", "gauze"))),
        supply("not", rows=when(("unit", "home"))),
        supply("agent", rows=when(("agent", "an-agent"))),
        supply("glove", rows=when(("site", "chest")), size_of="operator"),
    )

    found = supplies(rules, situation(), {"operator": "7"})

    assert [(line.item, line.because, line.size) for line in found] == [
        ("first", "For first.", None),
        ("open", f"For open.{IN_CASE}", None),
        ("also-open", f"For also-open.{IN_CASE}", None),
        ("agent", "For agent.", None),
        ("glove", f"For glove.{IN_CASE}", "7"),
    ]


# ---------------------------------------------------------------- people


def bones(cell: str, word: str = "plan") -> Any:
    roles = tuple(
        SimpleNamespace(
            id=id_, label=f"The {id_}", does=f"What {id_} does.", gloves=f"{id_}'s"
        )
        for id_ in ("operator", "assistant")
    )
    return SimpleNamespace(
        cell=cell,
        staffing=SimpleNamespace(roles=roles),
        verdict=SimpleNamespace(word=word),
    )


def test_each_role_is_told_with_its_gloves_and_its_own_size() -> None:
    found = layout(prepared(), situation("7", "6"), bones("a cell"))

    assert found.roles == (
        RoleLine("operator", "The operator", "What operator does.", "operator's", "7"),
        RoleLine(
            "assistant", "The assistant", "What assistant does.", "assistant's", "6"
        ),
    )
    unknown = layout(prepared(), situation(), bones("a cell"))
    assert [role.glove_size for role in unknown.roles] == [None, None]


def test_other_people_or_another_cell_have_a_layout_of_their_own() -> None:
    rules = prepared(
        supply("operators", size_of="operator"), supply("others", size_of="assistant")
    )
    both = [(o, a) for o in ("7", "6", None) for a in ("7", "6", None)]

    for operator, assistant in (*both, *both):
        found = layout(rules, situation(operator, assistant), bones("a cell"))
        assert [line.size for line in found.supplies] == [operator, assistant]
        assert [role.glove_size for role in found.roles] == [operator, assistant]


def test_a_stop_lays_nothing_out_and_is_not_remembered_for_a_plan() -> None:
    rules = prepared(supply("swab"))

    stopped = layout(rules, situation(), bones("one cell", "stop"))
    planned = layout(rules, situation(), bones("another"))
    asked = layout(rules, situation(), bones("a third", "ask"))

    assert (stopped.supplies, len(stopped.roles)) == ((), 2)
    assert [len(found.supplies) for found in (planned, asked)] == [1, 1]
