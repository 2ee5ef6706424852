"""Every page: no fault of access, no sideways scroll, fit for fingers and paper."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect
from tests.browser.access import bars_anybody, bars_anybody_in_any_light, faults_of
from tests.browser.waiting import resize

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from tests.browser.conftest import Visit

OF_A_LINE = (
    "",
    "?entries=all",
    "plan/",
    "guide/",
    "guide/?procedure=re-cover",
    "chart/change/",
    "chart/finding/",
    "chart/task/set/",
    "chart/task/line-review/",
    "chart/fact/weight/",
    "chart/fact/sensitivities/",
    "chart/fact/skin/",
    "chart/fact/birth/",
    "look/",
    "raise/",
)


def every_page(visit: Visit) -> list[str]:
    """Paths of every kind of page, and of a plan on each ward."""
    paths = ["/ward/all/", "/ward/kestrel/", "/ward/wren/", "/no/such/page/"]
    paths += ["/ward/all/concerns/", "/ward/all/handover/"]
    visit.open("/ward/heron/concerns/")
    concern = str(visit.page.locator(".concern-label a").first.get_attribute("href"))
    paths += [concern, f"{concern}close/", f"{concern}hand-on/"]
    paths += ["/look-back/heron/", "/look-back/heron/life/end-failed/"]
    paths += ["/dressing-life/all/", "/dressing-life/heron/?split=kind"]
    for ward in ("kestrel", "heron"):
        line = visit.first_line(ward)
        paths += [line, line + "plan/"]
    line = visit.first_line("wren")
    paths += [line + path for path in OF_A_LINE]
    visit.open(line)
    entry = visit.page.get_by_role("link", name=re.compile("^Correct")).first
    paths.append(str(entry.get_attribute("href")))
    return paths


@pytest.mark.timeout(600)
def test_no_page_bars_anybody_or_scrolls_sideways(visit: Visit) -> None:
    faults = []
    for path in every_page(visit):
        faults += faults_of(visit.open(path), path)
    visit.complaints.clear()  # the page that is not there

    assert not faults


def test_the_sign_in_page_bars_nobody(page: Page, demo: str) -> None:
    page.goto(f"{demo}/sign-in/")

    assert not faults_of(page, "/sign-in/")


def test_a_refused_form_bars_nobody(visit: Visit) -> None:
    page = visit.open(visit.first_line("wren") + "chart/change/")
    page.get_by_role("button", name="Chart this change").click()
    expect(page.locator("#refused")).to_be_focused()

    assert not bars_anybody(page, "a refused form")


def test_a_length_that_is_asked_back_bars_nobody(visit: Visit) -> None:
    page = visit.page
    visit.open(visit.first_line("heron") + "look/")
    length = page.get_by_role("textbox", name="External length")
    hint = page.locator("#chart-external-length-hint").inner_text()
    last = hint.removeprefix("Last measured: ").split(" mm")[0]
    length.fill(f"{float(last) + 170:g}")
    page.get_by_role("button", name="Chart this look").click()

    expect(page.locator("#refused")).to_be_focused()
    asked = page.locator("#refused").get_by_role("link", name=f"{last} mm last time.")
    assert not bars_anybody_in_any_light(page, "a length asked back")
    asked.click()
    expect(length).to_be_in_viewport()
    expect(length).to_be_focused()
    expect(length).to_have_accessible_description(re.compile("mm last time"))
    assert page.url.endswith("#chart-external-length")


def test_what_is_touched_is_large_enough(visit: Visit) -> None:
    page = visit.page
    resize(page, 390)
    small = []
    for path in ("", "plan/", "chart/change/", "chart/finding/"):
        visit.open(visit.first_line("wren") + path)
        for target in page.locator(".act, .plain-act, .pill, .wards a, select").all():
            box = target.bounding_box()
            if box and box["height"] < 44:
                small.append((path, target.inner_text(), box["height"]))

    assert not small


def test_a_chosen_look_is_kept(visit: Visit) -> None:
    page = visit.open("/ward/wren/")
    switch = page.locator("[data-look-switch]")
    light = page.evaluate("getComputedStyle(document.body).backgroundColor")
    switch.click()
    switch.click()
    expect(switch).to_have_text("Look: dark")

    page.reload()

    expect(switch).to_have_text("Look: dark")
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") != light


def test_a_plan_prints_without_the_screen_around_it(visit: Visit) -> None:
    line = visit.first_line("heron", "days")
    # What comes in later is not waited for, so it must not come at all.
    visit.page.route("**/plan/spares/**", lambda route: route.fulfill(body=""))
    page = visit.open(line + "plan/")
    page.emulate_media(media="print")

    for screen_only in (".top", ".bottom", ".acts", ".every-rule"):
        expect(page.locator(screen_only).first).to_be_hidden()
    for printed in ("#answer", "#skin", "#lay-out", "#afterwards", ".policy-line"):
        expect(page.locator(printed)).to_be_visible()
    paper = page.pdf(prefer_css_page_size=True, print_background=True)
    assert len(re.findall(rb"/Type\s*/Page[^s]", paper)) == 1


def test_without_scripts_the_ward_and_the_plan_still_read(visit: Visit) -> None:
    cookies = visit.page.context.cookies()
    browser = visit.page.context.browser
    assert browser
    plain = browser.new_context(java_script_enabled=False)
    plain.add_cookies(cookies)  # type: ignore[arg-type]
    page = plain.new_page()
    page.goto(visit.address + "/ward/wren/")
    page.locator(".strip-open").first.click()
    page.get_by_role("link", name="Open the change plan").click()

    expect(page.locator("#answer")).to_be_visible()
    plain.close()
