"""Infections in a real browser: nobody is barred, and a missing fact can be charted."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from playwright.sync_api import expect
from tests.browser.access import faults_of

if TYPE_CHECKING:
    from tests.browser.conftest import Visit

LIST = "/infections/ward/all/"
ASKS, PROPOSED = "A fact is missing", "To be decided"


def _first(visit: Visit, group: str) -> str:
    """Return the path of the first infection of a group."""
    section = visit.open(LIST).get_by_role("region", name=re.compile(group))
    return str(section.get_by_role("link").first.get_attribute("href"))


def _pages(visit: Visit) -> list[str]:
    asks, proposed = _first(visit, ASKS), _first(visit, PROPOSED)
    line = visit.first_line("heron").removeprefix("/line/")
    forms = [f"/infections/line/{line}"]
    forms += [f"{forms[0]}chart/{kind}/" for kind in ("specimen", "other-infection")]
    return [LIST, asks, proposed, *forms]


def test_no_page_on_infections_bars_anybody_or_scrolls_sideways(visit: Visit) -> None:
    faults = []
    for path in _pages(visit):
        faults += faults_of(visit.open(path), path)

    assert not faults


def test_the_drawing_marks_the_date_of_event_on_its_day(visit: Visit) -> None:
    page = visit.open(_first(visit, PROPOSED))
    upright = page.locator(".d-event").bounding_box()
    day = page.locator(".d-name.is-event").bounding_box()

    assert upright is not None
    assert day is not None
    assert abs(upright["x"] - (day["x"] + day["width"] / 2)) < 2


def test_a_missing_tip_is_charted_from_the_page_that_asks(visit: Visit) -> None:
    page = visit.open(LIST)
    page.get_by_role("listitem").filter(
        has_text="To find out: Where the tip of its line lies."
    ).get_by_role("link").first.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("cannot be said yet")
    address = page.url
    page.get_by_role("link", name="Chart where the tip lies").click()
    page.get_by_label("In a great vessel or at the heart").check()
    page.get_by_role("button", name="Chart it").click()
    page.wait_for_url("**charted=**")
    page.goto(address)

    expect(page.get_by_role("heading", level=1)).to_contain_text("belongs to the line")
    expect(page.get_by_text("Confirm what is proposed")).to_be_visible()
