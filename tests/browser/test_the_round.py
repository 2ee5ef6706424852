"""Once round, in a real browser: which line is due, its plan, the change, the next due."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect
from tests.browser.conftest import Visit, enter

if TYPE_CHECKING:
    from playwright.sync_api import Page


def last_length(page: Page) -> str:
    """Return the length that the form says was measured last; any where none was."""
    found = re.search(r"Last measured: ([\d.]+) mm", page.locator("main").inner_text())
    return found[1] if found else "40"


def open_change_with_length(visit: Visit, ward: str) -> Page:
    """Open the form of a change of the ward's first line that has a length to measure.

    Which line stands first is a matter of the day, and a port has no length.
    """
    for line in visit.lines(ward, "days"):
        page = visit.open(line + "chart/change/")
        if page.get_by_label("External length").count():
            return page
    raise AssertionError(f"no line of {ward} has a length to measure")


def fill_in_a_change(page: Page, *, length: str | None = None) -> None:
    """Fill in what the plan cannot know; the length as it was, where none is given."""
    length = length or last_length(page)
    page.get_by_label("Healthy").check()
    for name, text in (("External length", length), ("Number of stitches", "2")):
        field = page.get_by_label(name)
        if field.count():
            field.fill(text)
    page.get_by_label("Calm").check()
    page.get_by_label("Outcome").fill("Clean, dry, well held.")


def test_once_round(visit: Visit) -> None:
    page = visit.page
    page.goto(visit.address + "/ward/kestrel/")
    before = page.locator("#ward-sum").inner_text()
    assert "hands now" in before

    # First tap: the most overdue of those that may be used.
    strip = page.locator(".strip.g-dressing-now").first
    key = str(strip.get_attribute("id"))
    strip.locator(".strip-open").click()
    expect(page.locator(".line-state")).to_contain_text("Dressing")

    # Second tap: its plan. The third: why that antiseptic.
    page.get_by_role("link", name="Open the change plan").click()
    expect(page.locator("#answer")).not_to_be_empty()
    page.get_by_role("link", name="Why?").click()
    expect(page.get_by_role("heading", name="Why", exact=True)).to_be_in_viewport()

    page.get_by_role("link", name="Chart this change").click()
    fill_in_a_change(page)
    page.get_by_role("button", name="Chart this change").click()

    told = page.locator(".charted-next")
    expect(told).to_contain_text("The next dressing change")
    page.get_by_role("link", name="Back to Kestrel").click()
    expect(page.locator(f"#{key}")).not_to_have_class(re.compile("g-dressing-now"))
    assert page.locator("#ward-sum").inner_text() != before


def test_a_finding_moves_the_line_on_an_open_ward_view(
    visit: Visit, new_visit: Visit
) -> None:
    ward = visit.open("/ward/heron/")
    ward.evaluate("window.notReloaded = true")
    strip = ward.locator(".strip.g-days").first
    key = str(strip.get_attribute("id"))
    href = str(strip.locator(".strip-open").get_attribute("href"))

    other = new_visit.open(href)
    other.get_by_role("link", name="Chart a finding").click()
    other.get_by_label("Loose").check()
    other.get_by_role("button", name="Chart it").click()
    expect(other.locator(".charted-next")).to_contain_text("to be changed now")

    moved = ward.locator(f"#{key}.g-dressing-now")
    expect(moved).to_be_visible()
    expect(moved.locator(".strip-state")).to_contain_text("loose")
    expect(moved.locator(".strip-fresh")).to_be_visible()
    assert ward.evaluate("window.notReloaded")


def test_the_round_with_the_keyboard_alone(visit: Visit) -> None:
    page = visit.open("/ward/wren/")

    page.keyboard.press("Tab")
    expect(page.get_by_text("Skip to the content")).to_be_focused()
    page.keyboard.press("Enter")
    page.keyboard.press("ArrowDown")
    expect(page.locator(".strip-open").first).to_be_focused()
    page.keyboard.press("ArrowDown")
    second = page.locator(".strip-open").nth(1)
    expect(second).to_be_focused()
    href = str(second.get_attribute("href"))
    page.keyboard.press("Enter")
    page.wait_for_url(f"**{href}")

    _tab_to(page, "Open the change plan")
    page.keyboard.press("Enter")
    page.wait_for_url("**/plan/")
    _tab_to(page, "Chart this change")
    page.keyboard.press("Enter")
    page.wait_for_url("**/chart/change/")
    _tab_to(page, "Back without charting")


def _tab_to(page: Page, text: str) -> None:
    for _ in range(80):
        page.keyboard.press("Tab")
        if text == page.evaluate("document.activeElement.textContent.trim()"):
            return
    pytest.fail(f"no way to “{text}” with the Tab key")


def test_a_refused_form_loses_nothing(visit: Visit) -> None:
    page = open_change_with_length(visit, "heron")
    fill_in_a_change(page, length="4000")
    page.get_by_label("Problems").fill("The tape came off first.")
    page.get_by_role("button", name="Chart this change").click()

    expect(page.locator("#refused")).to_be_focused()
    wrong = page.locator(".field.is-wrong")
    expect(wrong).to_have_count(1)
    expect(wrong.locator(".fault")).to_contain_text("mm")
    expect(page.get_by_label("External length")).to_have_value("4000")
    expect(page.get_by_label("Problems")).to_have_value("The tape came off first.")
    expect(page.get_by_label("Calm")).to_be_checked()

    page.get_by_label("External length").fill(last_length(page))
    page.get_by_role("button", name="Chart this change").click()
    expect(page.locator(".charted-next")).to_contain_text("next dressing change")
    # What is on the chart is kept nowhere else.
    page.wait_for_load_state("load")
    expect(page.locator("[data-charted]")).to_be_visible()
    kept = page.evaluate("Object.keys(sessionStorage)")
    assert not [name for name in kept if name.startswith("lumenkeep-")]


def test_a_session_that_ran_out_loses_nothing(visit: Visit) -> None:
    path = visit.first_line("heron", "days") + "chart/finding/"
    page = visit.open(path)
    page.get_by_label("Soiled").check()
    page.get_by_label("Anything to add").fill("At the lower edge.")
    page.context.clear_cookies(name="sessionid")
    page.get_by_role("button", name="Chart it").click()

    page.wait_for_url("**/sign-in/**")
    enter(page)
    page.wait_for_url(f"**{path}")

    expect(page.locator("#restored")).to_be_visible()
    expect(page.get_by_label("Soiled")).to_be_checked()
    expect(page.get_by_label("Anything to add")).to_have_value("At the lower edge.")
    page.get_by_role("button", name="Start afresh").click()
    expect(page.get_by_label("Anything to add")).to_have_value("")


def test_a_form_sent_twice_is_written_once(visit: Visit) -> None:
    page = visit.open(visit.first_line("heron", "days") + "chart/task/connector/")

    answers = page.evaluate(
        """async () => {
            const send = () => fetch(location.href, {
                method: "POST",
                body: new URLSearchParams(new FormData(document.querySelector("form[data-keep]"))),
            });
            return (await Promise.all([send(), send()])).map((answer) => answer.url);
        }"""
    )

    assert answers[0] == answers[1]
    assert "charted=" in answers[0]


def test_a_correction_strikes_what_it_corrects(visit: Visit) -> None:
    line = visit.first_line("wren", "days")
    page = visit.open(line + "chart/task/site-check/")
    page.get_by_role("checkbox", name="Healthy").check()
    page.get_by_label("Anything to add").fill("Charted on the wrong child.")
    page.get_by_role("button", name="Chart this look").click()
    page.wait_for_url("**charted=**")
    number = re.search(r"charted=(\d+)", page.url)
    assert number

    page.locator(f"#entry-{number[1]}").get_by_role("link", name="Correct").click()
    page.get_by_role("button", name="Take it back").click()
    expect(page.locator(".field.is-wrong")).to_have_count(1)
    page.get_by_label("Why it is taken back").fill("Wrong child.")
    page.get_by_role("button", name="Take it back").click()

    row = page.locator(f"#entry-{number[1]}")
    expect(row.locator("s").first).to_be_visible()
    expect(row).to_contain_text("Taken back")


def test_fresh_strips_leave_the_focus_where_it_was(visit: Visit) -> None:
    page = visit.open("/ward/kestrel/")
    strip = page.locator(".strip-open").nth(3)
    strip.focus()
    page.evaluate("document.querySelector('#seen [name=minute]').value = 'earlier'")

    page.evaluate("document.body.dispatchEvent(new Event('look-again'))")

    minute = page.locator("#seen [name=minute]")
    expect(minute).not_to_have_value("earlier")
    expect(page.locator(".strip-open").nth(3)).to_be_focused()


def test_a_stale_ward_view_says_so(visit: Visit) -> None:
    page = visit.open("/ward/wren/")
    page.context.clear_cookies(name="sessionid")

    page.evaluate("document.body.dispatchEvent(new Event('look-again'))")

    expect(page.locator("#stale")).to_contain_text("signed out")
    expect(page.locator(".strip").first).to_be_visible()
    assert all("401" in complaint for complaint in visit.complaints)
    visit.complaints.clear()
