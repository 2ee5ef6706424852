"""A browser started by ourselves: it can be killed, and runs on with nobody driving it."""

from __future__ import annotations

import os
import signal
import subprocess
import time
from typing import TYPE_CHECKING
from urllib.request import Request, urlopen

from tests.conftest import BROWSER_ARGS, find_chromium

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import BrowserType, Page

PATIENCE_SECONDS = 100


class StartedBrowser:
    """A browser of our own, with a profile that outlives it."""

    def __init__(self, browser_type: BrowserType, profile: Path) -> None:
        self._type = browser_type
        port_file = profile / "DevToolsActivePort"
        port_file.unlink(missing_ok=True)
        self.process = subprocess.Popen(
            [
                find_chromium(),
                *BROWSER_ARGS,
                "--headless",
                "--remote-debugging-port=0",
                f"--user-data-dir={profile}",
                "about:blank",
            ],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        end = time.monotonic() + PATIENCE_SECONDS
        while not (port_file.exists() and "\n" in port_file.read_text()):
            assert time.monotonic() < end, "the browser did not start"
            time.sleep(0.05)
        self.address = f"http://127.0.0.1:{port_file.read_text().splitlines()[0]}"

    def drive(self) -> Page:
        """Return the first page, driven; a driver makes a page believe it is seen."""
        self.driven = self._type.connect_over_cdp(self.address)
        return self.driven.contexts[0].pages[0]

    def let_go(self) -> None:
        """Leave the browser to itself."""
        self.driven.close()

    def open_in_front(self, url: str) -> None:
        """Open a page before the others, without driving any."""
        with urlopen(Request(f"{self.address}/json/new?{url}", method="PUT")):  # noqa: S310
            return

    def kill(self) -> None:
        """Kill it as a flat battery does."""
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()
