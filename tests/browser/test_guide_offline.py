"""The guide with a real server behind it: no network, a killed browser, two tablets."""

from __future__ import annotations

import re
import time
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect
from tests.browser.conftest import sign_in
from tests.browser.guide_tablet import Tablet, with_clock
from tests.browser.waiting import WORKED_OUT_MS
from tests.fakes.guide_bundle import RUN, bundle
from tests.fakes.started_browser import StartedBrowser

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, BrowserContext, Page, Route

ACCOUNT = re.compile(r"/guide/runs/[^/]+/account$")
PREPARE = "Prepare it on this tablet"
KEPT_EVERY_SECONDS = 1
pytestmark = pytest.mark.timeout(300)


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    made = browser.new_context()
    yield made
    made.close()


def prepared(
    context: BrowserContext, demo: str, nth: int, procedure: str
) -> tuple[Tablet, str]:
    """Sign in, and prepare a guide on a tablet as a nurse does; the line's address too."""
    tablet = with_clock(context, demo)
    tablet.number = "2"
    page = tablet.page
    sign_in(page, demo)
    page.goto(f"{demo}/ward/heron/")
    lines = [one.get_attribute("href") for one in page.locator(".strip-open").all()]
    line = _first_to_guide(page, demo, lines[nth:], procedure)
    page.get_by_label("Assistant").select_option(index=1)
    for shorter in ("It stays", "No"):
        if (answer := page.get_by_label(shorter, exact=True)).count():
            answer.check()
    page.get_by_role("button", name=PREPARE).click()
    ready = page.locator("#prepare-open:visible, .g-ready")
    expect(ready).to_be_visible(timeout=WORKED_OUT_MS)
    if (link := page.locator("#prepare-open:visible")).count():
        link.click()
    expect(page.locator(".g-ready")).to_be_visible()
    return tablet, f"{demo}{line}"


def _first_to_guide(
    page: Page, demo: str, lines: list[str | None], procedure: str
) -> str:
    """Open the first line that can be guided, whatever other tests have charted."""
    for line in lines:
        page.goto(f"{demo}{line}guide/?procedure={procedure}")
        if page.get_by_role("button", name=PREPARE).count():
            return str(line)
    pytest.fail(f"no line can be guided through {procedure}")


def entries(page: Page, line: str) -> int:
    """Count what is on the chart of a line."""
    page.goto(f"{line}?entries=all")
    return page.locator(".past li").count()


def test_a_whole_change_without_a_network_comes_to_one_entry(
    context: BrowserContext, demo: str
) -> None:
    tablet, line = prepared(context, demo, 3, "dressing-change")
    page = tablet.page
    other = context.new_page()
    before = entries(other, line)
    context.set_offline(True)

    # Opened anew without a network, from what the tablet keeps.
    page.reload()
    expect(page.locator(".g-ready")).to_be_visible()
    # A page served from the tablet is not told by the test's browser that it is offline.
    context.set_offline(False)
    context.set_offline(True)
    tablet.begin().go_to_the_end()
    tablet.send()
    expect(page.locator("#sending")).to_contain_text("No network")
    expect(page.locator("#network")).to_contain_text("no network")

    context.set_offline(False)

    expect(page.locator("#sending")).to_contain_text("It is on the chart")
    assert entries(other, line) == before + 1
    assert tablet.kept("runs") == []
    kept = page.evaluate(
        """async () => {
            const texts = [];
            for (const name of await caches.keys()) {
                const cache = await caches.open(name);
                for (const request of await cache.keys()) {
                    texts.push(request.url, await (await cache.match(request)).text());
                }
            }
            return texts.join(" ");
        }"""
    )
    assert "/guide/" in kept
    assert "Demo " not in kept
    other.goto(f"{demo}/guide/")
    expect(other.locator(".g-list")).to_contain_text("Sent from here")


def test_an_entry_arrives_once_over_a_bad_connection(
    browser: Browser, demo: str
) -> None:
    context = browser.new_context(service_workers="block")
    told: list[str] = []

    def drop_then_double(route: Route) -> None:
        answers = [route.fetch() for _ in range(1 + len(told))]
        told.extend(str(answer.json()["status"]) for answer in answers)
        if len(told) == 1:
            route.abort()  # written, and nobody heard of it
        else:
            route.fulfill(response=answers[-1])

    context.add_init_script("delete Navigator.prototype.serviceWorker")
    tablet, line = prepared(context, demo, 4, "connector-change")
    other = context.new_page()
    before = entries(other, line)
    context.route(ACCOUNT, drop_then_double)
    tablet.run_through()
    tablet.send()
    tablet.let_time_run()

    expect(tablet.page.locator("#sending")).to_contain_text("It is on the chart")
    assert told[0] == "written"
    assert set(told[1:]) == {"already-written"}
    assert entries(other, line) == before + 1
    context.close()


def test_two_tablets_on_one_change_come_to_one_entry(
    browser: Browser, demo: str
) -> None:
    contexts = [browser.new_context(), browser.new_context()]
    first, line = prepared(contexts[0], demo, 5, "connector-change")
    second, _ = prepared(contexts[1], demo, 5, "connector-change")
    expect(second.page.locator(".g-ready")).to_contain_text("open on another tablet")
    before = entries(other := contexts[0].new_page(), line)

    for tablet in (first, second):
        tablet.run_through()
        tablet.send()

    expect(first.page.locator("#sending")).to_contain_text("It is on the chart")
    expect(second.page.locator("#sending")).to_contain_text("kept beside it")
    assert entries(other, line) == before + 1
    for context in contexts:
        context.close()


def test_a_killed_browser_comes_back_at_the_same_second(
    browser: Browser, demo: str, tmp_path: Path
) -> None:
    killed = StartedBrowser(browser.browser_type, tmp_path)
    tablet = Tablet(killed.drive(), demo)
    made = bundle()
    tablet.keep({**made, "steps": made["steps"][4:]})
    tablet.open().begin()
    expect(tablet.page.locator(".g-facts")).to_contain_text(":")
    tablet.step()
    began = tablet.state()["span"]["began_t"]
    tablet.until_kept("pulses", f"(pulse) => pulse.t > {began + 2000}")
    at = time.monotonic()
    kept = (tablet.kept("pulses")[0]["t"] - began) / 1000
    killed.kill()
    until_killed = time.monotonic() - at

    again = StartedBrowser(browser.browser_type, tmp_path)
    tablet = Tablet(again.drive(), demo)
    tablet.open()

    told = tablet.page.locator(".g-rest")
    expect(told).to_contain_text("Step 2, at")
    expect(told).to_contain_text("This time is not counted")
    resumed = _seconds(told.inner_text())
    # What was kept is there; it may have counted on until it was killed, not longer.
    assert int(kept) <= resumed <= kept + until_killed + KEPT_EVERY_SECONDS
    at = time.monotonic()
    tablet.next.click()
    shown = _seconds(tablet.page.locator(".g-time-words").inner_text())
    assert resumed <= shown <= resumed + 1 + time.monotonic() - at
    assert [event["type"] for event in tablet.kept("events")][-2:] == ["off", "go-on"]
    again.kill()


def _seconds(text: str) -> int:
    found = re.search(r"(\d+) of 60 s", text)
    assert found, text
    return int(found[1])


def test_the_shell_and_its_worker_ask_nobody_to_sign_in(page: Page, demo: str) -> None:
    page.goto(f"{demo}/guide/")

    expect(page.locator("h1")).to_have_text("Guides on this tablet")
    found: Any = page.evaluate(
        """async () => {
            const worker = await fetch("/guide/worker.js");
            const manifest = await (await fetch("/guide/app.webmanifest")).json();
            const icons = await Promise.all(manifest.icons.map(async (icon) => {
                const image = await createImageBitmap(await (await fetch(icon.src)).blob());
                return [icon.sizes, `${image.width}x${image.height}`];
            }));
            return [worker.headers.get("Service-Worker-Allowed"), manifest.scope, icons];
        }"""
    )
    allowed, scope, icons = found
    assert allowed == scope == "/guide/"
    assert all(said == real for said, real in icons)
    page.goto(f"{demo}/guide/#{RUN}")
    expect(page.locator("#content")).to_contain_text("not on this tablet")
