"""The breaks in sterile technique: found by keyboard, waited for, read, barring nobody."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect
from tests.browser.access import bars_anybody_in_any_light
from tests.browser.waiting import resize

if TYPE_CHECKING:
    from tests.browser.conftest import Visit

LIST = "/policy/quillmere/breaks/"


@pytest.mark.timeout(300)
def test_a_break_is_found_and_its_steps_are_shown_when_they_are_worked_out(
    visit: Visit,
) -> None:
    page = visit.open(LIST)
    page.get_by_label("Find by any word").focus()
    page.keyboard.type("tail")
    page.keyboard.press("Enter")
    expect(page.locator(".found")).to_contain_text("hold “tail”")
    page.get_by_role("link", name="A sterile glove touches bed").focus()
    page.keyboard.press("Enter")
    page.get_by_label("During").select_option("port-needle-change-1")
    page.get_by_role("button", name="Show", exact=True).click()

    first = page.locator(".at-steps").first
    expect(first).to_contain_text("Say aloud what happened", timeout=120_000)
    expect(page.get_by_role("progressbar")).to_have_count(0)
    for width in (320, 390, 820):
        resize(page, width)
        assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.timeout(300)
def test_the_breaks_bar_nobody(visit: Visit) -> None:
    page = visit.page
    faults = []
    for path in (
        LIST,
        f"{LIST}?find=zebra",
        f"{LIST}glove-tears/?branch=port-needle-change-1",
    ):
        visit.open(path)
        expect(page.get_by_role("progressbar")).to_have_count(0, timeout=120_000)
        faults += bars_anybody_in_any_light(page, path)

    assert not faults
