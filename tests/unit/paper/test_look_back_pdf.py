"""The look-back on paper: its words, its pages, tagged, and the same every time."""

from __future__ import annotations

from datetime import date
from io import BytesIO
from typing import TYPE_CHECKING

import pytest
import typst
from pypdf import PdfReader
from tests.fakes.clock import NOON
from tests.unit.ward.look_back.wards import DAY, Told

from lumenkeep.paper.typeset import pdf_of
from lumenkeep.text.moments import plain_day
from lumenkeep.ward.look_back.paper import look_back_pdf, runs_of

if TYPE_CHECKING:
    from lumenkeep.ward.look_back.parts import LookBack


def printed(found: LookBack) -> bytes:
    pictures = {
        part.key: [one.drawing for one in part.pictures] for part in found.sections
    }
    return look_back_pdf(found, pictures)


@pytest.fixture(scope="module")
def found() -> LookBack:
    told = Told()
    told.changed(NOON - DAY)
    return told.look()


@pytest.fixture(scope="module")
def made(found: LookBack) -> bytes:
    return printed(found)


@pytest.fixture(scope="module")
def reader(made: bytes) -> PdfReader:
    return PdfReader(BytesIO(made))


def text(reader: PdfReader) -> str:
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def test_every_sentence_of_the_look_back_is_on_paper(
    found: LookBack, reader: PdfReader
) -> None:
    words = text(reader)

    assert "Look back: Kestrel" in words
    assert "5 Nov 2026 to 25 Nov 2026" in words
    assert found.caution in words
    for part in found.sections:
        assert part.sentence in words
        assert all(figure.name in words for figure in part.figures)


def test_it_has_four_pages_each_numbered(reader: PdfReader) -> None:
    assert len(reader.pages) == 4
    assert all(
        f"page {n} of 4" in " ".join(page.extract_text().split())
        for n, page in enumerate(reader.pages, 1)
    )


def test_entries_behind_a_figure_are_listed_by_number(
    found: LookBack, reader: PdfReader
) -> None:
    part = found.section("process")
    assert part is not None
    figure = part.figure("in-time-dressing")
    assert figure is not None

    listed = f"Dressing changes in time ({figure.value}): {runs_of(figure.entries)}"
    assert listed in text(reader)


def test_the_numbers_drawn_stand_in_a_table(reader: PdfReader) -> None:
    assert "The numbers drawn" in text(reader)
    assert "item done looked at share 95 % limits" in text(reader)


def test_it_is_tagged_named_and_in_our_typeface(made: bytes, reader: PdfReader) -> None:
    root = reader.trailer["/Root"]
    fonts = {
        str(font.get_object()["/BaseFont"])
        for page in reader.pages
        for font in page["/Resources"]["/Font"].values()
    }

    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"]
    assert b"<pdfuaid:part>1</pdfuaid:part>" in made
    assert reader.metadata is not None
    assert reader.metadata.title == "Look back: Kestrel, 5 Nov 2026 to 25 Nov 2026"
    assert {name.partition("+")[2] for name in fonts} <= {
        "AtkinsonHyperlegible-Regular",
        "AtkinsonHyperlegible-Bold",
    }


def test_every_picture_has_its_alternative(found: LookBack, made: bytes) -> None:
    alternatives = {
        picture.drawing.alternative
        for part in found.sections
        for picture in part.pictures
    }
    reader = PdfReader(BytesIO(made))
    told = {
        str(one.get_object().get("/Alt"))
        for one in (reader.get_object(n) for n in range(1, len(reader.xref[0]) + 1))
        if isinstance(one, dict) and "/Alt" in one
    }

    assert alternatives <= told


def test_the_same_look_back_gives_the_same_bytes(found: LookBack, made: bytes) -> None:
    assert printed(found) == made


def test_a_picture_without_an_alternative_is_refused() -> None:
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>'
    part = {
        "title": "t", "sentence": "s", "figures": [], "lines": [], "unknown": [],
        "pictures": [{"title": "t", "sentence": "s", "alternative": None, "svg": svg,
                      "header": ["a"], "rows": [["b"]]}],
    }  # fmt: skip
    content = {
        "title": "t", "period": "p", "looked": "l", "sentence": "s", "caution": "c",
        "left_out": "", "sections": [part],
    }  # fmt: skip

    with pytest.raises(typst.TypstError, match="alt text"):
        pdf_of("look_back.typ", content, NOON)


def test_neighbours_are_drawn_together() -> None:
    assert runs_of([9, 1, 2, 3, 3, 7]) == "1–3, 7, 9"
    assert runs_of([]) == ""


def test_a_day_is_written_the_same_on_every_machine() -> None:
    assert plain_day(date(2026, 3, 5)) == "5 Mar 2026"
