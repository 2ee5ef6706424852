"""What holds for every drawing: it parses, keeps to its sheet, and has its table."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from typing import TYPE_CHECKING

import pytest
from tests.fakes.drawings import ALL

from lumenkeep.drawing.sheet import Sheet, text_width

if TYPE_CHECKING:
    from collections.abc import Callable

    from lumenkeep.drawing import Drawing

SVG = "{http://www.w3.org/2000/svg}"
each_drawing = pytest.mark.parametrize("make", ALL, ids=lambda make: make.__name__)


def pictures(drawing: Drawing) -> list[ET.Element]:
    return [ET.fromstring(svg) for svg in (drawing.svg, drawing.narrow)]  # noqa: S314


def outside(picture: ET.Element) -> list[str]:
    """Return the texts that leave the picture."""
    _, _, width, height = map(float, picture.attrib["viewBox"].split())
    found = []
    for text in picture.iter(f"{SVG}text"):
        words = text.text or ""
        wide = text_width(words, bold="font-weight" in text.attrib)
        before = {"start": 0.0, "middle": wide / 2, "end": wide}[
            text.attrib["text-anchor"]
        ]
        left, foot = float(text.attrib["x"]) - before, float(text.attrib["y"])
        if left < 0 or left + wide > width or not 10 < foot <= height:
            found.append(words)
    return found


@each_drawing
def test_a_drawing_is_named_and_described(make: Callable[[], Drawing]) -> None:
    drawing = make()

    for picture in pictures(drawing):
        title, desc = picture.find(f"{SVG}title"), picture.find(f"{SVG}desc")
        assert title is not None
        assert desc is not None
        assert picture.attrib["role"] == "img"
        names = picture.attrib["aria-labelledby"].split()
        assert names == [title.attrib["id"], desc.attrib["id"]]
        assert (title.text, desc.text) == (drawing.title, drawing.alternative)


@each_drawing
def test_no_text_leaves_its_picture(make: Callable[[], Drawing]) -> None:
    for picture in pictures(make()):
        assert not outside(picture)


@each_drawing
def test_a_policy_against_scripts_and_styles_holds(make: Callable[[], Drawing]) -> None:
    for svg in (make().svg, make().narrow):
        assert " style=" not in svg
        assert "<style" not in svg
        assert "<script" not in svg


@each_drawing
def test_names_in_both_pictures_are_never_the_same(
    make: Callable[[], Drawing],
) -> None:
    drawing = make()

    names = re.findall(r' id="([^"]+)"', drawing.svg + drawing.narrow)

    assert len(names) == len(set(names))


@each_drawing
def test_every_row_is_as_long_as_the_header(make: Callable[[], Drawing]) -> None:
    drawing = make()

    assert drawing.rows
    assert {len(row) for row in drawing.rows} == {len(drawing.header)}


@each_drawing
def test_the_same_numbers_give_the_same_picture(make: Callable[[], Drawing]) -> None:
    again = make.__wrapped__  # type: ignore[attr-defined] - past the cache

    assert again() == make()


def test_a_text_that_would_leave_the_sheet_is_moved_back() -> None:
    sheet = Sheet(340.0, "planted")
    sheet.text(338.0, 20.0, "a long word at the edge")
    sheet.height = 40.0

    assert not outside(ET.fromstring(sheet.svg("t", "a")))  # noqa: S314


def test_a_text_outside_is_found() -> None:
    planted = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 40">'
        '<text x="90" y="20" text-anchor="start">too long</text></svg>'
    )

    assert outside(ET.fromstring(planted)) == ["too long"]  # noqa: S314
