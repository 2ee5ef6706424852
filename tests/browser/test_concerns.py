"""A concern followed in a real browser: found, read, taken on, handed on, printed."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from playwright.sync_api import expect

if TYPE_CHECKING:
    from tests.browser.conftest import Visit


def test_a_look_with_pus_is_followed_until_it_is_closed(visit: Visit) -> None:
    line = visit.first_line("heron")
    page = visit.open(f"{line}look/")
    page.get_by_role("checkbox", name="Pus or other discharge").check()
    page.get_by_role("button", name="Chart this look").click()

    held = page.get_by_role("heading", name="Pus or other discharge at the site")
    expect(held).to_be_visible()
    expect(page.locator(".concern-hold").first).to_contain_text("Do not use the line")
    page.get_by_role("link", name="Pus or other discharge at the site").click()
    page.get_by_role("button", name="I take it on").click()
    expect(page.get_by_text("you have taken this concern on")).to_be_visible()
    expect(page.get_by_role("button", name="I take it on")).to_have_count(0)

    page.get_by_role("link", name="Hand it on").click()
    page.get_by_label("To whom").select_option(label="The charge nurse")
    page.get_by_label("What they must know").fill("Swab sent.")
    page.get_by_role("button", name="Hand it on").click()
    expect(page.get_by_text(re.compile("Handed on: the charge nurse"))).to_be_visible()

    page.get_by_role("link", name="Pus or other discharge at the site").click()
    page.get_by_role("link", name="Close it").click()
    page.get_by_role("radio", name="Treated, and settled").check()
    page.get_by_label("What was done and seen").fill("Nothing grew.")
    page.get_by_role("button", name="Close this concern").click()
    expect(page.get_by_role("heading", name="Closed concerns")).to_be_visible()
    expect(page.locator(".concern-label", has_text="Pus")).to_have_count(0)


def test_the_handover_prints_every_open_concern(visit: Visit) -> None:
    page = visit.open("/ward/all/concerns/")
    shown = page.locator(".concern").count()
    page.get_by_role("link", name="List for the handover").click()
    page.emulate_media(media="print")

    assert shown > 0
    expect(page.locator(".handover tbody tr")).to_have_count(shown)
    expect(page.locator(".handover")).to_be_visible()
    expect(page.locator(".top")).to_be_hidden()
