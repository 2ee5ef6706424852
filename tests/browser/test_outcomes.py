"""Outcomes in a real browser: nobody barred, nothing sideways, a count on a phone."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect
from tests.browser.test_every_page import AXE
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
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_page_of_outcomes_bars_anybody(visit: Visit, scheme: str) -> None:
    page = visit.page
    page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
    faults = []
    for path in PATHS:
        visit.open(path)
        page.evaluate(
            "document.querySelectorAll('details').forEach(d => d.open = true)"
        )
        found = Axe().run(page, options={"resultTypes": ["violations"], **AXE})
        faults += [
            f"{path}: {fault['id']}: {node['target']} {node['failureSummary']}"
            for fault in found.response["violations"]
            for node in fault["nodes"]
        ]

    assert not faults


@pytest.mark.timeout(600)
def test_no_page_of_outcomes_scrolls_sideways(visit: Visit) -> None:
    wide = []
    for path in PATHS:
        visit.open(path)
        for width in (320, 390, 820):
            resize(visit.page, width)
            found = visit.page.evaluate("document.documentElement.scrollWidth")
            if found > width:
                wide.append((path, width, found))

    assert not wide


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
