"""How true a timer of the guide is over two minutes with its page in the background.

A step of two minutes runs while another page lies in front. Measured in the page, on
``performance.now()``: when the end was noticed, against when it was; and the longest gap
between two moments at which the seconds were kept. The kept seconds are what a tablet
that dies would come back to.
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from time import sleep
from typing import TYPE_CHECKING

from playwright.sync_api import sync_playwright

from sizes import sized

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.browser.guide_tablet import Tablet
from tests.fakes.guide_bundle import bundle, step
from tests.fakes.served import served_demo
from tests.fakes.started_browser import StartedBrowser

if TYPE_CHECKING:
    from playwright.sync_api import Page

SECONDS = sized(120, small=2)
BAR_S = 0.2
WATCH = """() => {
    window.told = null;
    window.hidden = 0;
    window.gaps = [];
    window.zero = Infinity; // where the run's own axis begins, on the page's clock
    let last = null;
    new MutationObserver(() => {
        if (document.querySelector("#live").textContent.includes("time is over")) {
            window.told ??= performance.now();
        }
    }).observe(document.querySelector("#live"), { childList: true, characterData: true, subtree: true });
    const put = IDBObjectStore.prototype.put;
    IDBObjectStore.prototype.put = function (value, ...more) {
        if (this.name === "pulses") {
            if (last !== null) window.gaps.push(value.t - last);
            last = value.t;
            window.zero = Math.min(window.zero, performance.now() - value.t);
            if (document.visibilityState === "hidden") window.hidden += 1;
        }
        return put.call(this, value, ...more);
    };
}"""


def measured(browser: StartedBrowser, demo: str) -> dict[str, float]:
    """Run the step behind another page, and return what was measured (s)."""
    tablet = Tablet(browser.drive(), demo)
    wait = step("wait", "both", "Wait.", SECONDS, timer="dry")
    tablet.keep(bundle(steps=[wait, *bundle()["steps"][7:]]))
    tablet.open()
    tablet.page.evaluate(WATCH)
    tablet.begin()
    browser.let_go()
    browser.open_in_front("about:blank")
    sleep(SECONDS + 3)
    tablet = Tablet(find_guide(browser), demo)
    begun = tablet.events("begun")[0]["t"]
    told = tablet.page.evaluate(
        "[window.told, Math.max(...window.gaps), window.hidden, window.zero]"
    )
    return {
        "late": (told[0] - told[3] - begun) / 1000 - SECONDS,
        "gap": told[1] / 1000,
        "hidden": told[2],
    }


def find_guide(browser: StartedBrowser) -> Page:
    """Return the page of the guide, driven again."""
    browser.drive()
    pages = browser.driven.contexts[0].pages
    return next(page for page in pages if "/guide/" in page.url)


def main() -> None:
    """Print what was measured."""
    with (
        TemporaryDirectory() as folder,
        TemporaryDirectory(ignore_cleanup_errors=True) as profile,
        served_demo(Path(folder)) as demo,
        sync_playwright() as playwright,
    ):
        browser = StartedBrowser(playwright.chromium, Path(profile))
        try:
            found = measured(browser, demo)
        finally:
            browser.kill()
    print(f"end of {SECONDS} s noticed {found['late']:+.3f} s late (bar {BAR_S} s)")
    print(f"longest gap between kept seconds: {found['gap']:.3f} s")
    print(f"kept while the page was hidden: {found['hidden']:.0f} times")


if __name__ == "__main__":
    main()
