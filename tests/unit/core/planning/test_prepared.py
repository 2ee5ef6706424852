"""What a plan says of each rule, whatever the child."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from lumenkeep.core.planning.plan import ChartItem, Dispute, Fired, Remark, Stance
from lumenkeep.core.planning.prepared import Prepared
from lumenkeep.core.policy.conditions import LiveWhen

CONFIRM = "; to be confirmed against the edition in force"


def source(id_: str, how: str = "found", year: int | None = 2024) -> Any:
    return SimpleNamespace(id=id_, title=f"Title of {id_}", how=how, year=year)


SOURCES = {
    s.id: s
    for s in (
        source("FOUND"),
        source("OLD", "memory", 1999),
        source("UNDATED", "memory", None),
        source("common-practice", "common-practice"),
    )
}


def rule(number: int, named: str, how: str | None = None, **said: Any) -> Any:
    return SimpleNamespace(
        id=f"rule-{number}",
        because=f"Because of {number}.",
        source=named,
        how=how,
        where=f"a-file: rule[{number}]",
        **said,
    )


def prepared(**kinds: tuple[Any, ...]) -> Prepared:
    lists = {
        name: tuple(
            SimpleNamespace(rule=r, when=LiveWhen(())) for r in kinds.get(name, ())
        )
        for name in (
            "notes",
            "disagreements",
            "chart_fields",
            "exclusions",
            "referrals",
            "plausible",
            "weighings",
        )
    }
    policy = SimpleNamespace(
        every_rule=lambda: [r for group in kinds.values() for r in group],
        sources=SOURCES,
        antiseptics=("first", "second"),
        dressings=("gauze", "transparent"),
        agents={"first": None, "second": None, "unused": None},
    )
    book: Any = SimpleNamespace(
        policy=policy, value={"least": 3, "most": 600}.__getitem__, **lists
    )
    return Prepared(book)


@pytest.mark.parametrize(
    ("named", "how", "told"),
    [
        ("FOUND", None, " (FOUND, 2024)"),
        ("FOUND", "memory", f" (FOUND, 2024{CONFIRM})"),
        ("OLD", None, f" (OLD, 1999{CONFIRM})"),
        ("OLD", "found", " (OLD, 1999)"),
        ("UNDATED", None, f" (UNDATED{CONFIRM})"),
        ("common-practice", None, ""),
        ("common-practice", "memory", ""),
        ("nowhere", None, ""),
    ],
)
def test_a_note_names_its_document_and_what_is_still_to_confirm(
    named: str, how: str | None, told: str
) -> None:
    found = prepared(notes=(rule(0, named, how),))

    assert found.remarks == (Remark(f"Because of 0.{told}", "rule-0", named),)


@pytest.mark.parametrize(
    ("named", "how", "title", "told"),
    [
        ("FOUND", None, "Title of FOUND", "found"),
        ("OLD", None, "Title of OLD", "memory"),
        ("OLD", "found", "Title of OLD", "found"),
        ("nowhere", None, "nowhere", "memory"),
        ("nowhere", "found", "nowhere", "found"),
    ],
)
def test_what_is_shown_of_a_rule_names_its_source_and_place(
    named: str, how: str | None, title: str, told: str
) -> None:
    found = prepared(notes=(rule(7, named, how),))

    assert found.fired == {
        "rule-7": Fired(
            rule="rule-7",
            because="Because of 7.",
            source=named,
            source_title=title,
            how=told,
            where="a-file: rule[7]",
        )
    }


def test_a_dispute_gives_each_side_its_title() -> None:
    sides = (
        SimpleNamespace(source="FOUND", says="Yes."),
        SimpleNamespace(source="OLD", says="No."),
    )
    said = {"topic": "A topic", "about": ("antiseptic",), "positions": sides}

    found = prepared(disagreements=(rule(0, "FOUND", **said),))

    assert found.disputes == (
        Dispute(
            id="rule-0",
            topic="A topic",
            because="Because of 0.",
            about=("antiseptic",),
            positions=(
                Stance("FOUND", "Title of FOUND", "Yes."),
                Stance("OLD", "Title of OLD", "No."),
            ),
        ),
    )


@pytest.mark.parametrize("low", ["least", None])
@pytest.mark.parametrize("high", ["most", None])
def test_what_is_charted_has_its_bounds_and_words(
    low: str | None, high: str | None
) -> None:
    said = {
        "label": "Length",
        "kind": "length",
        "required": True,
        "low": low,
        "high": high,
        "choices": ("yes", "no"),
    }

    found = prepared(chart_fields=(rule(0, "FOUND", **said),))

    assert found.chart_items == (
        ChartItem(
            id="rule-0",
            label="Length",
            kind="length",
            required=True,
            low=3.0 if low else None,
            high=600.0 if high else None,
            choices=("yes", "no"),
            because="Because of 0.",
        ),
    )


def test_each_item_knows_its_exclusions_and_only_agents_are_waited_for() -> None:
    bars = (("gauze", "first"), ("transparent",), ("second", "bath"), ("unused",))
    found = prepared(
        exclusions=tuple(rule(i, "FOUND", bars=b) for i, b in enumerate(bars))
    )

    assert found.barred_by == {
        "first": (0,),
        "gauze": (0,),
        "transparent": (1,),
        "second": (2,),
        "bath": (2,),
        "unused": (3,),
    }
    assert found.bar_agents == (0, 2)


def test_beside_the_dressings_only_other_products_are_looked_at() -> None:
    bars = ("wipes", "bath", "second", "gauze-under-transparent", "gauze")
    found = prepared(exclusions=(rule(0, "FOUND", bars=bars),))

    assert found.other_products == ("gauze", "transparent", "bath", "wipes")
