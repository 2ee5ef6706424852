"""The demo hospital served for browsers, and a page somebody has signed in to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import Page
from tests.fakes.served import PASSWORD, served_demo

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory, filled_demo: Path) -> Iterator[str]:
    """Address of a demo hospital of this process's own."""
    folder = tmp_path_factory.mktemp("demo")
    with served_demo(folder, filled=filled_demo) as address:
        yield address


@dataclass
class Visit:
    """A signed-in page, and every complaint the browser made about it."""

    page: Page
    address: str
    complaints: list[str]

    def open(self, path: str) -> Page:
        self.page.goto(self.address + path)
        return self.page

    def first_line(self, ward: str, group: str = "") -> str:
        """Path of the page of the first line of a ward, or of a group on it."""
        return self.lines(ward, group)[0]

    def lines(self, ward: str, group: str = "") -> list[str]:
        """Paths of the pages of the lines of a ward, or of a group on it, as they stand there."""
        self.open(f"/ward/{ward}/")
        css = f".strip{'.g-' + group if group else ''} .strip-open"
        self.page.locator(css).first.wait_for()
        return [str(one.get_attribute("href")) for one in self.page.locator(css).all()]


def sign_in(page: Page, address: str) -> None:
    page.goto(f"{address}/sign-in/")
    enter(page)
    page.wait_for_url("**/ward/**")


def enter(page: Page, account: str = "agate") -> None:
    """Fill in the sign-in page; the educator sees all wards."""
    page.get_by_label("Name of your account").fill(account)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()


@pytest.fixture(scope="session")
def signed_in(browser: Browser, demo: str) -> list[Any]:
    """Cookies of the educator's visit, signed in to once; no test signs it out."""
    context = browser.new_context()
    sign_in(context.new_page(), demo)
    cookies = context.cookies()
    context.close()
    return cookies


def _watch(page: Page, complaints: list[str]) -> None:
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on(
        "console",
        lambda message: (
            complaints.append(message.text)
            # A refused form answers 422, which the browser reports as an error.
            if message.type in ("error", "warning") and "422" not in message.text
            else None
        ),
    )


@pytest.fixture
def visit(page: Page, demo: str, signed_in: list[Any]) -> Iterator[Visit]:
    """A page that the educator has signed in to; it must make no complaint."""
    complaints: list[str] = []
    _watch(page, complaints)
    page.context.add_cookies(signed_in)
    yield Visit(page, demo, complaints)
    assert not complaints


@pytest.fixture
def new_visit(browser: Browser, demo: str, signed_in: list[Any]) -> Iterator[Visit]:
    """A second person's page in a profile of its own."""
    other = browser.new_context()
    other.add_cookies(signed_in)
    page = other.new_page()
    yield Visit(page, demo, [])
    other.close()
