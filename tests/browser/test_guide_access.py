"""Every screen of the guide: no fault of access, no sideways scroll, fit for gloves."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect
from tests.browser.access import (
    DESKTOP,
    bars_anybody,
    bars_anybody_in_any_light,
    too_wide,
)
from tests.browser.guide_tablet import PAST_BOUNCE_MS, Tablet, with_clock
from tests.browser.waiting import resize
from tests.fakes.guide_bundle import bundle
from tests.fakes.receipts import receipt_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Route

LEAST_TARGET = 44


def every_screen(tablet: Tablet) -> Iterator[str]:
    """Go through a change, and stop at each kind of screen."""
    page = tablet.page
    panel = page.get_by_role("dialog")
    yield "the list"
    practice = {"seed": 2, "slips": [{"step": "plan", "slip": "touched"}]}
    tablet.keep(bundle("practice-1", practice=practice))
    tablet.open("practice-1").begin()
    tablet.wait(2000)
    expect(panel).to_contain_text("What now?")
    yield "what now"
    panel.get_by_role("button", name="Nothing: go on as planned.").click()
    expect(page.locator(".g-pick")).to_be_visible()
    tablet.wait(PAST_BOUNCE_MS)
    tablet.next.click()
    expect(page.locator(".g-step")).to_be_visible()
    tablet.go_to_the_end()
    expect(tablet.head).to_have_text("End of the practice")
    yield "end of the practice"
    tablet.keep()
    tablet.open()
    yield "lay-out"
    tablet.begin().go_to("Measure")
    yield "called out"
    page.get_by_role("button", name="Not known").click()
    yield "not known"
    tablet.go_to("Peel")
    yield "a drawing"
    tablet.go_to("Scrub")
    tablet.wait(20_000)
    yield "a time"
    tablet.press(tablet.next)
    expect(panel).to_be_visible()
    yield "early"
    page.keyboard.press("Escape")
    expect(panel).to_be_hidden()
    page.locator("#slip").click()
    expect(panel).to_be_visible()
    yield "slips"
    page.keyboard.press("Escape")
    expect(panel).to_be_hidden()
    tablet.wait(41_000)
    tablet.slip("glove")
    yield "the way back"
    tablet.go_back()
    expect(page.locator("#was-finished")).to_be_visible()
    yield "done anew"
    tablet.slip("glove")
    yield "spares lacking"
    page.get_by_role("button", name="Pressed by mistake").click()
    expect(page.locator(".g-step")).to_be_visible()
    tablet.go_to("Wait")
    yield "dry"
    page.reload()
    expect(tablet.head).to_have_text("The guide is back where it was")
    yield "back again"
    tablet.next.click()
    expect(page.locator(".g-step")).to_be_visible()
    page.locator("#menu").click()
    expect(panel).to_be_visible()
    yield "more"
    panel.get_by_role("button", name="Pause").click()
    panel.get_by_role("button", name="The child needs comfort.").click()
    expect(tablet.head).to_have_text("Paused")
    yield "paused"
    tablet.next.click()
    expect(page.locator(".g-step")).to_be_visible()
    tablet.go_to_the_end()
    yield "the entry"
    page.get_by_role("button", name=re.compile("^Change: External")).click()
    panel.get_by_role("button", name="It was misheard.").click()
    expect(page.get_by_label("External length", exact=True)).to_be_visible()
    yield "a change"
    tablet.send()
    yield "sending"
    yield from answered(tablet)
    page.goto(f"{tablet.address}/guide/#not-here")
    expect(tablet.head).to_have_text("Not here")
    yield "not here"


def answered(tablet: Tablet) -> Iterator[str]:
    """Let the server answer at last: it refuses, has news, and takes it."""
    page = tablet.page
    fault = {"code": "x", "what": "It was 42 mm.", "where": "length", "mend": "Look."}
    beside = {**fault, "what": "The line is out.", "where": "line"}
    news = {"what": "A new order was charted.", "at": "", "plan_differs": True}
    answers = [
        (422, {"status": "faulty", "faults": [fault, beside]}),
        (409, {"status": "facts-changed", "changed": [news], "mark": "m9"}),
        (200, None),
    ]

    def answer(route: Route) -> None:
        is_account = route.request.url.endswith("/account")
        status, body = answers.pop(0) if is_account else (200, {"token": "t"})
        route.fulfill(status=status, json=body or receipt_of(route.request))

    page.route(re.compile("/guide/(token|runs/)"), answer)
    page.evaluate("() => { dispatchEvent(new Event('online')); }")
    expect(page.locator(".g-review")).to_contain_text("It was 42 mm.")
    yield "refused"
    tablet.confirm()
    page.locator("#send").click()
    expect(page.locator(".g-review")).to_contain_text("A new order was charted.")
    yield "overtaken"
    page.get_by_role("button", name="Both have read it: go on").click()
    page.locator("#send").click()
    expect(tablet.head).to_have_text("Sent")
    yield "sent"


@pytest.fixture
def tablet(browser: Browser, demo: str) -> Iterator[Tablet]:
    """A tablet whose network is down as soon as its pages are there."""
    context = browser.new_context(service_workers="block")
    context.route(re.compile("/guide/(token|runs/)"), lambda route: route.abort())
    found = with_clock(context, demo)
    found.page.emulate_media(reduced_motion="reduce")
    found.keep()
    yield found
    context.close()


def test_a_planted_fault_of_access_is_found(tablet: Tablet) -> None:
    tablet.open().begin()
    tablet.page.evaluate("document.querySelector('#next').replaceChildren()")

    faults = bars_anybody(tablet.page, "planted")

    assert [fault for fault in faults if "button-name" in fault]


@pytest.mark.timeout(600)
def test_every_screen_bars_nobody_and_fits_a_phone_and_a_gloved_finger(
    tablet: Tablet,
) -> None:
    page = tablet.page
    wrong = []
    for name in every_screen(tablet):
        wrong += bars_anybody_in_any_light(page, name)
        wrong += too_wide(page, name)
        resize(page, 390)
        small = page.evaluate(
            """(least) => [...document.querySelectorAll("button, .pill, .g-check, a.g-act")]
                .filter((one) => one.checkVisibility() && one.getBoundingClientRect().height < least)
                .map((one) => one.textContent)""",
            LEAST_TARGET,
        )
        wrong += [f"{name}: small: {text}" for text in small]
        resize(page, *DESKTOP)

    assert not wrong


def test_both_halves_and_the_controls_are_in_sight_on_a_phone(tablet: Tablet) -> None:
    resize(tablet.page, 390)
    tablet.open().begin().go_to("Scrub")

    for name in ("#operator-head", "#assistant-head", ".g-time", "#slip", "#next"):
        expect(tablet.page.locator(name)).to_be_in_viewport()
    heads = [tablet.page.locator(f"#{one}-head") for one in ("operator", "assistant")]
    boxes = [head.bounding_box() for head in heads]
    foot = tablet.page.locator("#foot").bounding_box()
    assert foot
    assert all(box and box["y"] + box["height"] < foot["y"] for box in boxes)
