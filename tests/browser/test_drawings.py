"""In a real browser no two labels of a drawing touch, and none is cut off."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from tests.browser.waiting import load_fonts, resize
from tests.fakes.drawings import ALL

if TYPE_CHECKING:
    from playwright.sync_api import Page

STATIC = Path(__file__).parents[2] / "src/lumenkeep/ward/site/static/lumenkeep"
FONT_IS_THERE = "document.fonts.check('14px \"Atkinson Hyperlegible\"')"
OVERLAPS = """
() => [...document.querySelectorAll('svg')].flatMap(svg => {
  const frame = svg.getBoundingClientRect();
  const texts = [...svg.querySelectorAll('text')].map(t => [t.textContent, t.getBoundingClientRect()]);
  const faults = [];
  texts.forEach(([name, a], n) => {
    if (a.left < frame.left - 0.5 || a.right > frame.right + 0.5
        || a.top < frame.top - 0.5 || a.bottom > frame.bottom + 0.5)
      faults.push(`${svg.getAttribute('aria-labelledby')}: ${name} is cut`);
    for (const [other, b] of texts.slice(n + 1))
      if (Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1
          && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 3)
        faults.push(`${svg.getAttribute('aria-labelledby')}: ${name} / ${other}`);
  });
  return faults;
})
"""


def show(page: Page, body: str, folder: Path) -> None:
    """Open a page of the shipped typeface."""
    css = (STATIC / "lumenkeep.css").read_text() + (STATIC / "drawings.css").read_text()
    css = css.replace("fonts/", f"{(STATIC / 'fonts').as_uri()}/")
    path = folder / "page.html"
    path.write_text(
        f"<!doctype html><meta charset=utf-8><title>t</title><style>{css}</style>{body}"
    )
    page.goto(path.as_uri())
    load_fonts(page)


@pytest.fixture
def own_page(browser: object, tmp_path: Path) -> object:
    """A page that may read the typeface from the disk."""
    context = browser.new_context(viewport={"width": 900, "height": 900})  # type: ignore[attr-defined]
    yield context.new_page()
    context.close()


def test_no_two_labels_touch_and_none_is_cut(own_page: Page, tmp_path: Path) -> None:
    body = "".join(svg for make in ALL for svg in (make().svg, make().narrow))
    show(own_page, body, tmp_path)

    assert own_page.evaluate(FONT_IS_THERE)
    assert own_page.evaluate(OVERLAPS) == []


def test_labels_that_touch_are_found(own_page: Page, tmp_path: Path) -> None:
    body = (
        '<svg aria-labelledby="planted" width="100" height="40">'
        '<text x="10" y="20">one</text><text x="15" y="20">two</text></svg>'
    )
    show(own_page, body, tmp_path)

    assert own_page.evaluate(OVERLAPS) == ["planted: one / two"]


def test_a_phone_gets_the_narrow_picture(own_page: Page, tmp_path: Path) -> None:
    drawing = ALL[0]()
    show(
        own_page,
        f'<figure class="drawing">{drawing.svg}{drawing.narrow}</figure>',
        tmp_path,
    )

    shown = "() => [...document.querySelectorAll('.dr')].map(e => !!e.offsetParent || e.getBoundingClientRect().width > 0)"
    assert own_page.evaluate(shown) == [True, False]
    resize(own_page, 390)
    assert own_page.evaluate(shown) == [False, True]
