"""How long a prepared guide takes to open on a tablet without a network.

The demo is served, a dressing change is prepared as a nurse does it, then the network is
cut and the guide opened again and again in a fresh page. Time runs from the request for
the page until the plan and what must lie ready stand on the screen.
"""

from __future__ import annotations

import sys
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

from playwright.sync_api import BrowserContext, Page, sync_playwright

from sizes import sized

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.conftest import BROWSER_ARGS, find_chromium
from tests.fakes.served import PASSWORD, served_demo

RUNS = sized(15, small=2)
BAR_MS = 1000


def prepared(context: BrowserContext, demo: str) -> str:
    """Prepare a change, and return the guide's address."""
    page = context.new_page()
    page.goto(f"{demo}/sign-in/")
    page.get_by_label("Name of your account").fill("agate")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url("**/ward/**")
    page.goto(f"{demo}/ward/wren/")
    line = page.locator(".strip-open").first.get_attribute("href")
    page.goto(f"{demo}{line}guide/")
    page.get_by_label("Assistant").select_option(index=1)
    start = perf_counter()
    page.get_by_role("button", name="Prepare it on this tablet").click()
    page.locator(".g-ready").wait_for(timeout=120_000)
    print(f"prepared, ways back and offline copy   {perf_counter() - start:6.2f} s")
    address = page.url
    page.close()
    return address


def opened_ms(page: Page, address: str) -> float:
    """Return how long it takes until the guide can be begun (ms)."""
    start = perf_counter()
    page.goto(address, wait_until="commit")
    page.locator("#next").wait_for()
    return (perf_counter() - start) * 1000


def main() -> None:
    """Print the times."""
    with (
        TemporaryDirectory() as folder,
        served_demo(Path(folder)) as demo,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(
            executable_path=find_chromium(), args=list(BROWSER_ARGS)
        )
        context = browser.new_context()
        address = prepared(context, demo)
        context.set_offline(True)
        times = []
        for _ in range(RUNS):
            page = context.new_page()
            times.append(opened_ms(page, address))
            page.close()
        browser.close()
    print(
        f"opened without a network, {RUNS} times: median {median(times):.0f} ms, "
        f"slowest {max(times):.0f} ms (bar {BAR_MS} ms)"
    )


if __name__ == "__main__":
    main()
