"""Which dressing goes on and until when, and what to look for once the site is bare."""

from __future__ import annotations

from datetime import UTC, datetime
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

import pytest

from lumenkeep.core.model import CalendarSpan, Case, Child, Line, People
from lumenkeep.core.planning.choose import Choice
from lumenkeep.core.planning.dressing import bedside_looks, cover_for, new_dressing
from lumenkeep.core.policy import Situation
from lumenkeep.core.policy.conditions import LiveWhen

if TYPE_CHECKING:
    from lumenkeep.core.policy import Truth

NEW_YORK = ZoneInfo("America/New_York")
AT = datetime(2025, 3, 5, 9, 0, tzinfo=NEW_YORK).astimezone(UTC)
ORDER = ("transparent-chg-gel", "transparent", "gauze")
WEEK = CalendarSpan(0, 7)


def situation() -> Situation:
    return Situation(Case(Child(), Line(), People(), NEW_YORK), AT)


def with_intervals(*not_after: str | None) -> Any:
    intervals = tuple(
        SimpleNamespace(
            rule=SimpleNamespace(
                id=f"interval-{i}",
                source=f"document-{i}",
                priority=0,
                nothing_due=False,
                not_before=None,
                not_after=number,
                where="",
            ),
            when=LiveWhen(()),
        )
        for i, number in enumerate(not_after)
    )
    book = SimpleNamespace(intervals_of=lambda _: intervals, value={"week": WEEK}.get)
    return SimpleNamespace(book=book)


def test_the_dressing_falls_due_at_the_same_wall_time() -> None:
    """The clocks go forward on 9 March 2025: a week is an hour short."""
    known = situation()
    cover = cover_for(with_intervals("week"), Choice("gauze", "gauze", ()), known)
    assert cover is not None
    worn = new_dressing(cover, known)

    assert known.dressing == "gauze"
    assert (worn.kind, worn.label) == ("gauze", "Gauze")
    assert (worn.stays_h, worn.stays_words) == (168, "7 days at most")
    assert worn.next_due == datetime(2025, 3, 12, 9, 0, tzinfo=NEW_YORK)
    assert (worn.rule, worn.source) == ("interval-0", "document-0")


@pytest.mark.parametrize(
    ("intervals", "rule", "source"),
    [((None,), "interval-0", "document-0"), ((), "", "")],
    ids=["waits for a finding", "no interval at all"],
)
def test_a_dressing_without_a_clock_stays_until_it_fails(
    intervals: tuple[None, ...], rule: str, source: str
) -> None:
    known = situation()
    choice = Choice("transparent", "transparent", ())
    cover = cover_for(with_intervals(*intervals), choice, known)
    assert cover is not None
    worn = new_dressing(cover, known)

    assert (worn.stays_h, worn.next_due) == (None, None)
    assert worn.stays_words == "until it fails; look every day"
    assert (worn.rule, worn.source) == (rule, source)


def test_where_no_dressing_surely_suits_none_is_named() -> None:
    known = situation()

    assert cover_for(with_intervals("week"), Choice("gauze", None, (0,)), known) is None
    assert known.dressing is None


# ---------------------------------------------------------------- looks


def rule(
    number: int, bars: tuple[str, ...] = ORDER[:2], if_unknown: str = "look"
) -> Any:
    said = SimpleNamespace(
        id=f"rule-{number}",
        because=f"Because of {number}.",
        source=f"document-{number}",
        bars=bars,
        if_unknown=if_unknown,
    )
    return SimpleNamespace(rule=said)


def looks(
    judged: tuple[Truth, ...], *rules: Any, worn: str | None = "transparent"
) -> list[tuple[str, str, str]]:
    known = situation()
    known.dressing = worn
    book = SimpleNamespace(
        calls=(),
        exclusions=rules,
        policy=SimpleNamespace(dressings=ORDER, call="the nurse on call"),
    )
    barred_by = {
        item: tuple(i for i, r in enumerate(rules) if item in r.rule.bars)
        for item in ORDER
    }
    prepared: Any = SimpleNamespace(book=book, barred_by=barred_by)
    found = bedside_looks(prepared, judged, known)
    return [(look.text, look.rule, look.source) for look in found]


LOOK = "When the old dressing is off, look. Because of 0."


def test_an_open_look_says_what_to_have_ready() -> None:
    assert looks((None,), rule(0)) == [
        (f"{LOOK} Have ready: gauze.", "rule-0", "document-0")
    ]


def test_what_is_ready_is_the_first_that_is_surely_not_barred() -> None:
    bars_first = rule(0, ("transparent",))
    pad = rule(1, ("transparent-chg-gel",), "ask")
    other = rule(2, ("gauze",), "ask")

    def ready(*judged: Truth) -> str:
        [(text, _, _)] = looks(judged, bars_first, pad, other)
        assert text.startswith(LOOK)
        return text.removeprefix(LOOK)

    assert ready(None, False, False) == (
        " Have ready: clear film with chlorhexidine gel pad."
    )
    assert ready(None, True, False) == " Have ready: gauze."
    assert ready(None, None, False) == " Have ready: gauze."
    assert ready(None, True, True) == " If so, call the nurse on call."
    assert ready(None, None, None) == " If so, call the nurse on call."


def test_only_open_looks_at_the_dressing_chosen_are_told() -> None:
    assert looks((True,), rule(0)) == []
    assert looks((False,), rule(0)) == []
    assert looks((None,), rule(0, if_unknown="ask")) == []
    assert looks((True,), rule(0, if_unknown="ask")) == []
    assert looks((None,), rule(0), worn="gauze") == []
    assert looks((None,), rule(0), worn=None) == []


def test_every_open_look_is_told_in_the_books_order() -> None:
    found = looks((None, True, None), rule(0), rule(1), rule(2, ("transparent",)))

    assert [id_ for _, id_, _ in found] == ["rule-0", "rule-2"]
