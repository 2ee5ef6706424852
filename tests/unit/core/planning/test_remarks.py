"""Which cautions and disputes are shown, decided or open, and which stay hidden."""

from __future__ import annotations

from datetime import UTC, datetime
from types import SimpleNamespace
from typing import Any

import pytest

from lumenkeep.core.model import Case, Child, Line, People
from lumenkeep.core.planning.plan import Remark
from lumenkeep.core.planning.remarks import disputes, notes, strangers
from lumenkeep.core.policy import Situation
from lumenkeep.core.policy.conditions import Comparison, LiveWhen, live

AT = datetime(2026, 1, 20, 12, 0, tzinfo=UTC)
OPEN_TOO = " (shown because what would settle it is not known)"


def situation(agent: str | None = None, **facts: Any) -> Situation:
    known = Situation(Case(Child(unit="ward", **facts), Line(), People(), UTC), AT)
    known.agent = agent
    return known


def when(*rows: tuple[tuple[str, str], ...]) -> LiveWhen:
    return LiveWhen(
        tuple(
            tuple(live(Comparison(f, "is", None, (w,)), None) for f, w in row)
            for row in rows
        )
    )


WARD = when((("unit", "ward"),))
HOME = when((("unit", "home"),))
CHEST = when((("site", "chest"),))
GAUZE = when((("dressing", "gauze"),))
SECOND = when((("agent", "second"),))
OTHER = when((("agent", "other"),))
SECOND_ON_CHEST = when((("agent", "second"), ("site", "chest")))


def shown(*rules: tuple[str, LiveWhen], kind: str = "caution") -> list[Remark]:
    book = SimpleNamespace(
        notes=tuple(
            SimpleNamespace(rule=SimpleNamespace(kind=k), when=w) for k, w in rules
        )
    )
    remarks = tuple(Remark(f"Text {i}.", f"rule-{i}", "a") for i in range(len(rules)))
    prepared: Any = SimpleNamespace(book=book, remarks=remarks)
    return list(notes(prepared, situation(), kind))


def test_a_note_that_holds_is_shown_as_it_is() -> None:
    assert shown(("caution", WARD)) == [Remark("Text 0.", "rule-0", "a")]


def test_a_note_that_the_case_leaves_open_says_so() -> None:
    assert shown(("caution", CHEST)) == [Remark(f"Text 0.{OPEN_TOO}", "rule-0", "a")]
    assert shown(("caution", SECOND_ON_CHEST))[0].text == f"Text 0.{OPEN_TOO}"


@pytest.mark.parametrize("rows", [HOME, GAUZE, SECOND])
def test_a_note_that_fails_or_waits_for_the_plan_alone_is_hidden(
    rows: LiveWhen,
) -> None:
    assert shown(("caution", rows)) == []


def test_notes_are_shown_by_kind_in_the_books_order() -> None:
    rules = (("look", WARD), ("caution", WARD), ("look", HOME), ("look", CHEST))

    assert [r.rule for r in shown(*rules, kind="look")] == ["rule-0", "rule-3"]
    assert [r.rule for r in shown(*rules)] == ["rule-1"]


def test_each_strange_sensitivity_is_a_caution_of_no_rule() -> None:
    known = situation(
        sensitivities=frozenset({"gum-b", "chlorhexidine", "gum-a", "iodine"})
    )

    assert strangers(known) == tuple(
        Remark(
            f"The policy has no rule for the sensitivity '{word}': "
            "check every product by hand.",
            "",
            "",
        )
        for word in ("gum-a", "gum-b")
    )
    assert strangers(situation()) == ()


# ---------------------------------------------------------------- disputes


def disputed(
    *rules: tuple[LiveWhen, tuple[str, ...]], agent: str | None = None
) -> list[int]:
    """Return the positions of the disputes shown; the situation stays as it was."""
    book = SimpleNamespace(
        disagreements=tuple(SimpleNamespace(when=w) for w, _ in rules),
        policy=SimpleNamespace(antiseptics=("first", "second", "third")),
    )
    points = [SimpleNamespace(about=about, at=i) for i, (_, about) in enumerate(rules)]
    known = situation(agent)
    prepared: Any = SimpleNamespace(book=book, disputes=tuple(points))
    found: Any = disputes(prepared, known)
    assert known.agent == agent
    return [dispute.at for dispute in found]


ABOUT = ("dressing", "antiseptic")


def test_a_dispute_is_shown_where_it_holds_or_the_case_leaves_it_open() -> None:
    rules = [(w, ("dressing",)) for w in (WARD, HOME, CHEST, SECOND_ON_CHEST, GAUZE)]

    assert disputed(*rules) == [0, 2, 3]


def test_with_no_agent_what_one_of_the_sets_agents_would_meet_is_shown() -> None:
    rules = [(SECOND, ABOUT), (OTHER, ABOUT), (SECOND, ("dressing",)), (GAUZE, ABOUT)]

    assert disputed(*rules) == [0]
    assert disputed(*rules, agent="second") == [0, 2]
    assert disputed(*rules, agent="first") == []


def test_the_agents_tried_leave_nothing_behind_for_the_next_dispute() -> None:
    assert disputed((SECOND, ABOUT), (when((("agent", ""),)), ABOUT)) == [0]


def test_with_an_agent_no_other_agents_dispute_is_shown() -> None:
    either = when((("dressing", "gauze"),), (("agent", "second"),))

    assert disputed((either, ABOUT), agent="first") == []
    assert disputed((HOME, ABOUT), agent="first") == []
    assert disputed((either, ABOUT)) == [0]
