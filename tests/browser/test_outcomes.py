"""Outcomes in a real browser: nobody barred, nothing sideways, a count on a phone."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect
from tests.browser.access import faults_of
from tests.browser.waiting import resize

if TYPE_CHECKING:
    from tests.browser.conftest import Visit

PATHS = (
    "/outcomes/heron/?change=2026-10-10",
    "/outcomes/wren/",
    "/outcomes/heron/days/",
    "/outcomes/wren/count/",
    "/outcomes/heron/baseline/",
)


@pytest.mark.timeout(600)
def test_no_page_of_outcomes_bars_anybody_or_scrolls_sideways(visit: Visit) -> None:
    faults = []
    for path in PATHS:
        faults += faults_of(visit.open(path), path)

    assert not faults


def test_a_ward_is_counted_on_a_phone_and_leads_to_its_day(visit: Visit) -> None:
    page = visit.page
    resize(page, 390)
    visit.open("/ward/kestrel/")
    page.get_by_role("link", name="Outcomes").click()
    page.get_by_role("link", name="Enter today’s count").click()
    page.get_by_label("Children here").fill("16")
    page.get_by_label("With a central line").fill("17")
    page.get_by_role("button", name="Save the count").click()

    expect(page.get_by_role("alert")).to_contain_text("Nothing has been saved yet.")
    expect(page.get_by_label("Children here")).to_have_value("16")

    page.get_by_label("With a central line").fill("12")
    page.get_by_role("button", name="Save the count").click()

    expect(page.get_by_text("16 children, 12 with a line.")).to_be_visible()
    page.get_by_role("link", name="The days behind it").click()
    page.locator(".days tbody a").first.click()
    expect(page.get_by_text("16 children, 12 with a line.")).to_be_visible()
    expect(page.get_by_role("link", name="Correct the count by hand")).to_be_visible()
