"""The policy to read, in a real browser: access, phone, paper, and the chart's words."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect
from tests.browser.access import bars_anybody_in_any_light, open_folds
from tests.browser.waiting import load_fonts, resize

if TYPE_CHECKING:
    from tests.browser.conftest import Visit

READ = "/policy/quillmere/read/"
PAGES = ("/policy/", READ, "/policy/uk-guideline/read/", READ + "?day=2020-01-01")


@pytest.mark.timeout(600)
def test_the_policy_bars_nobody(visit: Visit) -> None:
    faults = []
    for path in PAGES:
        page = visit.open(path)
        open_folds(page)
        faults += bars_anybody_in_any_light(page, path)

    assert not faults


def test_only_the_charts_own_frame_scrolls_sideways(visit: Visit) -> None:
    page = visit.page
    for path in PAGES:
        visit.open(path)
        for width in (320, 390, 820):
            resize(page, width)
            assert page.evaluate("document.documentElement.scrollWidth") <= width, path
    visit.open(READ)
    resize(page, 390)
    frame = page.locator(".chart-frame")
    assert frame.evaluate("f => f.scrollWidth > f.clientWidth")
    frame.focus()
    page.keyboard.press("ArrowRight")
    expect(frame).not_to_have_js_property("scrollLeft", 0)


@pytest.mark.parametrize("name", ["quillmere", "us-guideline", "uk-guideline"])
def test_no_text_of_the_chart_leaves_its_box(visit: Visit, name: str) -> None:
    page = visit.open(f"/policy/{name}/read/")
    load_fonts(page)

    outside = page.evaluate(
        """() => [...document.querySelectorAll('.decision .d-box')].flatMap(box => {
          const frame = box.querySelector('.d-frame').getBBox();
          return [...box.querySelectorAll('text')].filter(text => {
            const said = text.getBBox();
            return said.x < frame.x || said.x + said.width > frame.x + frame.width - 4
              || said.y < frame.y || said.y + said.height > frame.y + frame.height;
          }).map(text => text.textContent);
        })"""
    )

    assert outside == []


def test_the_chart_has_a_name_and_its_words_in_steps(visit: Visit) -> None:
    page = visit.open(READ)

    chart = page.get_by_role("img", name=re.compile("Which antiseptic"))
    expect(chart).to_be_visible()
    steps = page.locator("#steps > ol > li")
    asked = page.locator(".decision .d-question")
    assert steps.count() == asked.count()
    expect(steps.first).to_contain_text("born before 28 weeks 0 days")


def test_contents_and_citations_lead_to_their_places(visit: Visit) -> None:
    page = visit.open("/ward/wren/")
    page.get_by_role("link", name="Policy", exact=True).click()
    page.get_by_role("link", name=re.compile("^Quillmere Children's: changing")).click()
    page.get_by_role("link", name="Which antiseptic for whom").click()
    expect(page.locator("#antiseptic-head")).to_be_in_viewport()
    page.locator("#rule-chg-gestation .rests a").first.click()
    expect(page.locator("#source-1")).to_be_in_viewport()
    broken = page.evaluate(
        """() => [...document.querySelectorAll('.reading a[href^="#"]')]
          .filter(a => !document.getElementById(a.hash.slice(1))).map(a => a.hash)"""
    )
    assert broken == []


def test_the_policy_prints_on_a4_with_its_sources_at_the_end(visit: Visit) -> None:
    page = visit.open(READ)
    page.emulate_media(media="print")

    for screen_only in (".top", ".bottom", ".crumb", ".reading-acts", ".to-contents"):
        expect(page.locator(screen_only).first).to_be_hidden()
    for printed in (".decision", "#steps", "#antiseptic", "#sources", ".policy-line"):
        expect(page.locator(printed)).to_be_visible()
    last = page.locator(".reading > section").last
    expect(last).to_have_attribute("id", "sources")
    paper = page.pdf(prefer_css_page_size=True, print_background=True)
    sizes = set(re.findall(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)", paper))
    assert {(round(float(w)), round(float(h))) for w, h in sizes} == {(595, 842)}
    assert page.locator(".decision").evaluate("svg => svg.clientHeight") < 1000


def test_another_day_is_asked_for_and_kept(visit: Visit) -> None:
    page = visit.open(READ)
    page.get_by_label("As it stands on").fill("2027-03-01")
    page.get_by_role("button", name="Read that day").click()

    expect(page.locator(".version")).to_contain_text("As it stands on 1 March 2027")
    expect(page.locator(".chart-file")).to_have_attribute(
        "href", re.compile(r"chart\.svg\?day=2027-03-01$")
    )
