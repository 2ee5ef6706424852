"""The browser itself: it starts, shows a page, and is kept to this machine."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


def test_the_browser_shows_a_page(page: Page) -> None:
    page.set_content("<main><h1>Kestrel</h1></main>")

    assert page.get_by_role("heading").inner_text() == "Kestrel"


def test_the_browser_reaches_no_other_machine(browser: Browser) -> None:
    from playwright.sync_api import Error

    stray = browser.new_page()
    with pytest.raises(Error, match="ERR_NAME_NOT_RESOLVED"):
        stray.goto("http://elsewhere.invalid/")
    stray.close()
