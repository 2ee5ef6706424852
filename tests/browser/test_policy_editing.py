"""A change of policy in a real browser: from a draft to the ward, by two educators."""

from __future__ import annotations

import re
from contextlib import contextmanager
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect
from tests.browser.access import bars_anybody, bars_anybody_in_any_light, too_wide
from tests.browser.conftest import enter
from tests.browser.waiting import WORKED_OUT_MS
from tests.fakes.served import served_demo

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page


# Each proof, and each comparison, is waited for.
pytestmark = pytest.mark.timeout(1200)


@pytest.fixture(scope="module")
def hospital(
    tmp_path_factory: pytest.TempPathFactory, filled_demo: Path
) -> Iterator[str]:
    """A demo of its own: what is put in force here concerns no other test."""
    folder = tmp_path_factory.mktemp("policy")
    with served_demo(folder, filled=filled_demo) as address:
        yield address


@contextmanager
def someone(browser: Browser, address: str, account: str) -> Iterator[Page]:
    """A page that one of the demo's people has signed in to."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(f"{address}/sign-in/")
    enter(page, account)
    page.wait_for_url("**/ward/**")
    yield page
    context.close()


@pytest.fixture
def agate(browser: Browser, hospital: str) -> Iterator[Page]:
    with someone(browser, hospital, "agate") as page:
        yield page


@pytest.fixture
def beryl(browser: Browser, hospital: str) -> Iterator[Page]:
    with someone(browser, hospital, "beryl") as page:
        yield page


def new_draft(page: Page, hospital: str) -> str:
    """Start a draft; return its address."""
    page.goto(f"{hospital}/policy/changes/")
    page.get_by_role("button", name=re.compile("^Draft a change")).last.click()
    page.wait_for_url("**/policy/draft/**")
    return page.url


def compared(page: Page) -> None:
    """Wait until the draft is compared with what is in force."""
    regions = page.locator("#comparison .regions").first
    expect(regions).to_be_visible(timeout=WORKED_OUT_MS)


def change(page: Page, draft: str, number: str, value: str) -> None:
    page.goto(f"{draft}number/{number}/")
    page.get_by_label("Value").first.fill(value)
    page.get_by_role("button", name="Save in the draft").click()


def test_a_change_goes_from_a_draft_to_the_ward(
    agate: Page, beryl: Page, hospital: str
) -> None:
    page = agate
    page.get_by_role("link", name="Policy", exact=True).click()
    page.get_by_role("link", name=re.compile("^Changes of policy")).click()
    draft = new_draft(page, hospital)

    change(page, draft, "dressing-transparent", "5")

    expect(page.get_by_role("status").first).to_contain_text("Saved")
    expect(page.locator(".changes")).to_contain_text("7 days → is: 5 days")
    expect(page.locator("#proof .verdict")).to_have_text(
        "Proved over every child.", timeout=WORKED_OUT_MS
    )
    expect(page.locator("#children")).to_contain_text("would be treated differently")
    child = page.locator(".kids li").first
    expect(child).to_contain_text("Dressing: due")
    compared(page)
    expect(page.locator("#comparison")).to_contain_text("stays 7 days")
    expect(page.locator("#comparison")).to_contain_text("stays 5 days")

    page.get_by_role("button", name="Hand it over for approval").click()
    expect(page.get_by_text("Waits for another educator")).to_be_visible()
    expect(page.get_by_role("button", name=re.compile("approve"))).to_have_count(0)
    version = page.url

    beryl.goto(version)
    beryl.get_by_label("Anything to add").fill("Read with the ward.")
    beryl.get_by_role("button", name="I have read it, and approve it").click()
    expect(beryl.locator(".steps")).to_contain_text("Read with the ward.")
    assert not bars_anybody(beryl, "a version")
    plan = first_plan(beryl, hospital)
    expect(beryl.locator(".policy-line")).to_contain_text("(quillmere)")

    beryl.goto(version)
    beryl.get_by_label("Wren").check()
    beryl.get_by_role("button", name="Put it in force").click()
    expect(beryl.locator(".policy-lead")).to_contain_text("In force")
    beryl.goto(plan)
    expect(beryl.locator(".policy-line")).to_contain_text("(quillmere-own)")

    page.goto(version)
    page.get_by_label("Heron").check()
    page.get_by_label("Day and time, if not at once").fill("2099-01-01T08:00")
    expect(page.get_by_label("From a day and time")).to_be_checked()
    page.get_by_role("button", name="Put it in force").click()
    page.get_by_role("button", name="Call this off").click()
    expect(page.locator(".steps s")).to_contain_text("Heron: in force from")


def first_plan(page: Page, hospital: str) -> str:
    """Open the plan of the first line on a ward; return its address."""
    page.goto(f"{hospital}/ward/wren/")
    href = page.locator(".strip .strip-open").first.get_attribute("href")
    page.goto(f"{hospital}{href}plan/")
    return page.url


def test_a_draft_that_is_not_proved_shows_the_child(agate: Page, hospital: str) -> None:
    page = agate
    draft = new_draft(page, hospital)
    change(page, draft, "chg-mass", "1200")

    expect(page.locator("#proof .is-broken")).to_be_visible(timeout=WORKED_OUT_MS)
    expect(page.get_by_role("button", name="Hand it over")).to_have_count(0)
    page.get_by_role("link", name="See the child on whom it shows").first.click()
    expect(page.locator(".answer-line")).not_to_be_empty()
    expect(page.locator(".facts")).to_contain_text("weights")


def test_a_fault_stands_beside_its_field(agate: Page, hospital: str) -> None:
    page = agate
    draft = new_draft(page, hospital)
    page.goto(f"{draft}number/chg-gestation/")
    page.get_by_label("Value").first.fill("twenty-eight")
    page.get_by_label("What it means").fill("Gestation, in our words")
    page.get_by_role("button", name="Save in the draft").click()

    expect(page.locator("#refused")).to_be_focused()
    value = page.get_by_label("Value").first
    expect(value).to_have_value("twenty-eight")
    expect(value).to_have_attribute("aria-invalid", "true")
    expect(page.locator(".field.is-wrong .fault")).to_contain_text("as in 28w0d")
    expect(page.get_by_label("What it means")).to_have_value("Gestation, in our words")
    assert not bars_anybody(page, "a refused number")

    value.fill("27w0d")
    page.get_by_role("button", name="Save in the draft").click()
    expect(page.locator(".changes")).to_contain_text("27w0d")


def test_two_editors_choose_and_lose_nothing(
    agate: Page, beryl: Page, hospital: str
) -> None:
    draft = new_draft(agate, hospital)
    agate.goto(f"{draft}number/port-needle/")
    beryl.goto(f"{draft}number/port-needle/")
    beryl.get_by_label("Value").first.fill("6")
    beryl.get_by_role("button", name="Save in the draft").click()
    expect(beryl.locator(".changes")).to_contain_text("6 days")

    agate.get_by_label("Value").first.fill("5")
    agate.get_by_role("button", name="Save in the draft").click()

    met = agate.locator(".met")
    expect(met).to_be_focused()
    expect(met).to_contain_text("Demo Beryl saved this while you had it open.")
    expect(met).to_contain_text("6 days")
    assert not bars_anybody(agate, "two values side by side")
    expect(agate.get_by_label("Value").first).to_have_value("5")
    agate.get_by_role("button", name="Save in the draft").click()
    expect(agate.locator(".changes")).to_contain_text("5 days")


def test_with_the_keyboard_alone(agate: Page, hospital: str) -> None:
    page = agate
    draft = new_draft(page, hospital)
    page.goto(f"{draft}order/dressings/")
    _tab_to(page, "↑ Up: Gauze")
    page.keyboard.press("Enter")
    expect(page.locator(".order li").nth(1)).to_contain_text("Gauze")
    expect(page.get_by_role("button", name=re.compile(r"Up\s*: Gauze"))).to_be_focused()
    _tab_to(page, "See what it changes")
    page.keyboard.press("Enter")
    expect(page.locator("#effects")).to_be_focused()
    _tab_to(page, "Say when to stop and call")
    page.keyboard.press("Enter")
    page.wait_for_url("**/new/refer/")
    for key in ("Tab", "Tab"):
        page.keyboard.press(key)
    _tab_to(page, "Narrow it")
    page.keyboard.press("Enter")
    expect(page.get_by_label("Value")).to_be_visible()


def _tab_to(page: Page, text: str) -> None:
    for _ in range(220):
        page.keyboard.press("Tab")
        found = page.evaluate(
            "document.activeElement.textContent.replace(/\\s+/g, ' ').trim()"
        )
        if text == found:
            return
    pytest.fail(f"no way to “{text}” with the Tab key")


PATHS = (
    "",
    "number/chg-mass/",
    "rule/exclude/chg-gestation/",
    "rule/interval/connector-window/",
    "rule/note/pvi-repeated/",
    "rule/require/require-none-under-1000-g/",
    "new/exclude/",
    "order/antiseptics/",
    "about/",
    "source/",
)


def test_no_policy_page_bars_anybody_or_scrolls_sideways(
    agate: Page, hospital: str
) -> None:
    page = agate
    draft = new_draft(page, hospital)
    change(page, draft, "chg-mass", "1200")
    expect(page.locator("#proof .is-broken")).to_be_visible(timeout=WORKED_OUT_MS)
    compared(page)
    page.get_by_role("link", name="See the child on whom it shows").first.click()
    expect(page.locator(".answer-line")).not_to_be_empty()
    shown = page.url
    faults = []
    urls = [f"{hospital}/policy/changes/", shown, *(draft + path for path in PATHS)]
    for url in urls:
        page.goto(url)
        if url == draft:
            compared(page)
        faults += bars_anybody_in_any_light(page, url)
        faults += too_wide(page, url)

    assert not faults
