"""A look-back as plain values, its pictures drawn."""

from __future__ import annotations

import json

import scipy.stats  # noqa: F401 - its slow loading is no part of a test's time
from tests.fakes.clock import NOON
from tests.unit.ward.look_back.wards import DAY, Told

from lumenkeep.drawing import Share
from lumenkeep.ward.look_back.as_json import look_back_json
from lumenkeep.ward.look_back.parts import LookPicture, shares_drawing


def test_each_figure_carries_the_entries_it_was_worked_out_from() -> None:
    found = Told().look()

    told = json.loads(json.dumps(look_back_json(found)))

    process = next(part for part in told["sections"] if part["key"] == "process")
    figure = next(one for one in process["figures"] if one["key"] == "in-time-dressing")
    assert figure["value"] == "1 of 1"
    (entry,) = figure["entries"]
    assert told["entries"][str(entry)] == {
        "kind": "dressing-change",
        "line": "l-1",
        "happened_at": "2026-11-21T18:00:00+00:00",
    }
    assert (told["ward"], told["from"], told["to"]) == (
        "kestrel",
        "2026-11-05",
        "2026-11-25",
    )


def test_every_drawing_has_its_numbers_beside_it() -> None:
    told = Told()
    told.changed(NOON - DAY)

    drawings = [
        one
        for part in look_back_json(told.look())["sections"]
        for one in part["drawings"]
    ]

    assert [one["title"] for one in drawings] == [
        "Done in time, by what was changed",
        "How dressings ended",
    ]
    assert all(
        len(row) == len(one["header"]) for one in drawings for row in one["rows"]
    )


def test_shares_are_drawn_as_rows() -> None:
    row = Share("Dressing changes", 9, 10, 0.6, 0.98)

    given = (row,), "changes in time"
    drawing = LookPicture("k", "Done in time", shares_drawing, given).drawing

    assert drawing.rows == (("Dressing changes", "9", "10", "90 %", "60 to 98 %"),)
    assert 'class="dr-point"' in drawing.svg
