"""What cannot be said is exactly what some completion of the facts says otherwise.

Facts are taken out of a timeline, put back in every possible way, and each whole
timeline is determined: by the engine, and by the determination written by hand.
"""

from __future__ import annotations

import copy
import itertools
from collections.abc import Callable, Iterable, Iterator
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from tests.fakes.determination_by_hand import determine_by_hand
from tests.property.test_determination_by_hand import (
    FIRST,
    LAST,
    iso,
    stays,
    timelines,
)

from lumenkeep.core.outcomes.determine import determine
from lumenkeep.core.outcomes.protocol_year import protocol_year
from lumenkeep.files.timeline.timeline_file import timeline_from_mapping

PROTOCOL = protocol_year("2025")
MOST = 500
"""So many completions are worked for one timeline at most."""
INSERTIONS = LAST + 5
"""So many days a line may have been placed on."""
Value = dict[str, Any]
Fill = Callable[[Value], None]


def day(text: str | None) -> int | None:
    """Return the number of a day of the made timelines."""
    return None if text is None else (date.fromisoformat(text[:10]) - FIRST).days


def events_of(value: Value) -> list[tuple[frozenset[str], bool | None]]:
    """Return the engine's events: their specimens, and whether they count."""
    timeline = timeline_from_mapping(value, "made", ["2025"])
    found = determine(timeline, PROTOCOL)
    return [(frozenset(one.specimens), one.clabsi) for one in found]


def by_engine(value: Value) -> dict[str, bool]:
    """Return for each specimen of a whole timeline whether its event counts."""
    found = {}
    for names, clabsi in events_of(value):
        assert clabsi is not None, "a whole timeline leaves nothing open"
        found |= dict.fromkeys(names, clabsi)
    return found


def by_hand(value: Value) -> dict[str, bool]:
    """Return the same by the second determination."""
    return {name: one["clabsi"] for name, one in determine_by_hand(value).items()}


def line_holes(value: Value) -> Iterator[tuple[Fill, list[Fill]]]:
    """Yield what can be taken out of lines, with all that may stand there."""
    for number in range(len(value["lines"])):
        for key in ("tip", "first_access", "inserted", "removed"):
            yield (
                lambda v, n=number, k=key: _forget(v["lines"][n], k),
                [
                    (lambda v, n=number, k=key, w=what: v["lines"][n].update({k: w}))
                    for what in _line_values(value["lines"][number], key)
                ],
            )


def _forget(line: Value, key: str) -> None:
    line[key] = "unknown"


def _line_values(line: Value, key: str) -> Iterable[Any]:
    if key == "tip":
        return ("great-vessel", "elsewhere")
    every = [iso(number) for number in range(-4, LAST + 1)]
    assert len(every) == INSERTIONS
    return every if key == "inserted" else [None, *every]


def is_possible(value: Value) -> bool:
    """Whether each line was placed after birth, used and removed in this order."""
    born = value["child"]["born"]
    for line in value["lines"]:
        if line["inserted"] < born:
            return False
        known = [day(line[key]) for key in ("inserted", "first_access", "removed")]
        told = [number for number in known if number is not None]
        if told != sorted(told):
            return False
    return True


def birth_hole(value: Value) -> tuple[Fill, list[Fill]]:
    """Return the day of birth taken out, with the days it may be."""
    days = [
        *(day(one["from"]) for one in value["stays"]),
        *(day(line["inserted"]) for line in value["lines"]),
        *(day(one["at"]) for one in value["specimens"]),
        *(day(one["at"]) for one in value["signs"]),
        *(day(one["at"]) for one in value["counts"]),
        *(day(one["at"]) for one in value["gut"]),
        *(day(one["at"]) for one in value["findings"]),
        *(day(one["on"]) for one in value["child"]["transplants"]),
    ]
    latest = min(one for one in days if one is not None)
    born = {latest - back for back in range(9)} | {-366 + n for n in range(LAST + 8)}
    may_be = sorted(one for one in (*born, -9000) if one <= latest)

    def forget(found: Value) -> None:
        found["child"]["born"] = None

    return forget, [(lambda v, b=one: v["child"].update(born=iso(b))) for one in may_be]


def draw_hole(value: Value) -> tuple[Fill, list[Fill]]:
    """Return the names of all draws taken out, with every way to name them."""
    number = len(value["specimens"])

    def forget(found: Value) -> None:
        for one in found["specimens"]:
            del one["draw"]

    return forget, [
        (lambda v, told=labels: _name(v, told))
        for labels in itertools.product("abc"[: max(1, number)], repeat=number)
        if list(dict.fromkeys(labels)) == sorted(set(labels))
    ]


def _name(value: Value, labels: Iterable[str]) -> None:
    for one, label in zip(value["specimens"], labels, strict=True):
        one["draw"] = label


def infection_holes(value: Value) -> Iterator[tuple[Fill, list[Fill]]]:
    """Yield what can be taken out of infections elsewhere and of pus."""
    for number, other in enumerate(value["other_infections"]):
        if other["kind"] == "nec":
            continue
        yield (
            lambda v, n=number: v["other_infections"][n].pop("blood_is_element"),
            [
                (lambda v, n=number, w=so: v["other_infections"][n].update(w))
                for so in ({"blood_is_element": True}, {"blood_is_element": False})
            ],
        )
        if other["kind"] != "ssi":
            event = day(other["date_of_event"]) or 0
            yield (
                lambda v, n=number: v["other_infections"][n].pop("window"),
                [
                    (
                        lambda v, n=number, a=at: v["other_infections"][n].update(
                            window=[iso(a), iso(a + 6)]
                        )
                    )
                    for at in range(event - 3, event + 1)
                ],
            )


def completions(value: Value, holes: list[tuple[Fill, list[Fill]]]) -> list[Value]:
    """Return every whole timeline that the one with holes may be."""
    found = []
    for fills in itertools.product(*(fills for _, fills in holes)):
        whole = copy.deepcopy(value)
        for fill in fills:
            fill(whole)
        if is_possible(whole):
            found.append(whole)
    return found


def with_holes(value: Value, holes: list[tuple[Fill, list[Fill]]]) -> Value:
    """Return the timeline without the facts."""
    found = copy.deepcopy(value)
    for forget, _ in holes:
        forget(found)
    return found


def agrees(
    holed: Value, wholes: list[Value], told: Callable[[Value], dict[str, bool]]
) -> None:
    """Hold what the engine says of a timeline with holes against all completions."""
    every = [told(whole) for whole in wholes]
    for names, clabsi in events_of(holed):
        may_be = {any(whole[name] for name in names) for whole in every}
        expected = may_be.pop() if len(may_be) == 1 else None
        assert clabsi is expected, (sorted(names), holed)


def chosen(
    data: st.DataObject, holes: list[tuple[Fill, list[Fill]]]
) -> list[tuple[Fill, list[Fill]]]:
    """Return some of the holes, so few that every completion can be worked.

    The first is the day of birth. It bounds the day of a line, so the two are not taken
    out at once: what then cannot be said of both together, the engine asks for.
    """
    picked: list[tuple[Fill, list[Fill]]] = []
    size = 1
    without_birth = data.draw(st.booleans())
    for place in data.draw(st.permutations(range(len(holes)))):
        more = len(holes[place][1])
        if place == 0 if without_birth else more == INSERTIONS:
            continue
        if size * more <= MOST:
            picked.append(holes[place])
            size *= more
    return picked


@settings(max_examples=60)  # thousands were run by hand
@given(timelines(), st.data())
def test_a_verdict_stands_exactly_where_all_completions_agree(
    value: Value, data: st.DataObject
) -> None:
    assume(value["specimens"])
    holes = [birth_hole(value), *line_holes(value), *infection_holes(value)]
    if len(value["specimens"]) <= 4:
        holes.append(draw_hole(value))
    holes = chosen(data, holes)

    agrees(with_holes(value, holes), completions(value, holes), by_engine)


@settings(max_examples=60)
@given(timelines(), st.data())
def test_the_determination_by_hand_agrees_on_what_cannot_be_said(
    value: Value, data: st.DataObject
) -> None:
    assume(value["specimens"])
    holes = chosen(data, [birth_hole(value), *line_holes(value)])
    wholes = completions(value, holes)
    # Open: a pair after a timeframe whose first sign lies in it (decision 0027).
    both = [
        (determine_by_hand(w), determine_by_hand(w, by_date_of_event=True))
        for w in wholes
    ]
    assume(all(one == other for one, other in both))

    agrees(with_holes(value, holes), wholes, by_hand)


@settings(max_examples=40)
@given(timelines(), st.lists(stays(), max_size=8))
def test_without_stays_it_hangs_on_them_exactly_where_they_decide(
    value: Value, told: list[list[Value]]
) -> None:
    assume(value["specimens"])
    noted = [one["on"] for one in value["child"]["conditions"]]
    ends = [None, *(iso((day(on) or 0) - 2) for on in noted)]
    since = [
        [{"location": "a", "from": iso(n), "to": end}]
        for n in range(-40, LAST)
        for end in ends
        if end is None or end > iso(n)
    ]
    born = value["child"]["born"]
    every = [placed for placed in (*since, *told) if placed[0]["from"] >= born]
    never = [{"location": "clinic", "inpatient": False, "from": born}]
    wholes = [value | {"stays": placed} for placed in (never, *every)]

    agrees(value | {"stays": []}, wholes, by_engine)


@pytest.mark.parametrize("key", ["tip", "first_access", "inserted", "removed"])
def test_one_fact_of_one_line_decides(key: str) -> None:
    """What a day hangs on, one by one: the line is brought along, blood on day 7."""
    value: Value = {
        "protocol": "2025",
        "child": {"born": iso(-3000)},
        "stays": [{"location": "a", "from": iso(1), "to": None}],
        "lines": [
            {
                "id": "l", "kind": "picc", "tip": "great-vessel", "inserted": iso(-1),
                "first_access": iso(1), "removed": None,
            }
        ],
        "specimens": [
            {"id": "b", "at": iso(7), "source": "blood", "draw": "a",
             "organisms": ["S. aureus"]}
        ],
    }  # fmt: skip
    if key == "inserted":
        value["lines"][0]["first_access"] = iso(6)
    hole = next(
        pair
        for pair, name in zip(
            line_holes(value),
            ("tip", "first_access", "inserted", "removed"),
            strict=True,
        )
        if name == key
    )
    holed = with_holes(value, [hole])
    assert events_of(holed) == [(frozenset({"b"}), None)]
    agrees(holed, completions(value, [hole]), by_engine)


def test_days_lie_as_made() -> None:
    assert iso(0) == FIRST.isoformat()
    assert FIRST + timedelta(days=1) == date.fromisoformat(iso(1))
