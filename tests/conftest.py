"""What all tests share: Hypothesis profiles, Django's settings, a real browser."""

from __future__ import annotations

import fcntl
import importlib.util
import os
import shutil
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import hypothesis
import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page, Request

# A test's time is bounded by pytest-timeout; a deadline per example only flickers.
hypothesis.settings.register_profile("here", deadline=None)
hypothesis.settings.register_profile(
    "ci", deadline=None, derandomize=True, database=None, print_blob=True
)
hypothesis.settings.load_profile("ci" if os.environ.get("CI") else "here")

TESTS = Path(__file__).parent
THOROUGH = ("asepsis_faults", "external", "policy", "property")
"""Folders whose tests prove sets, walk them, or try laws on many children."""
# Against hanging alone: no test is judged by how long a busy machine takes.
GUARD_SECONDS = 300
"""What hangs ends after this; what works takes a tenth of it on an idle machine."""
# How long a browser test waits for what it expects; Playwright's own patience with a
# control or a page is half a minute, so no other test names a time of its own.
PATIENCE_MS = 60_000
BROWSER_NAMES = ("chromium", "chromium-browser", "google-chrome")
BROWSER_ARGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    # No name but this machine's own is ever found.
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE localhost, EXCLUDE 127.0.0.1",
)
THIS_MACHINE = ("http://localhost", "http://127.0.0.1", "data:", "blob:", "about:")


# What is worked out and kept goes to a folder of the run, never to the user's own.
_KEPT = tempfile.TemporaryDirectory(prefix="lumenkeep-tests-")
os.environ.setdefault("XDG_CACHE_HOME", _KEPT.name)
os.environ.setdefault("LUMENKEEP_DATA", _KEPT.name)


def _has_web() -> bool:
    """Return whether the web part is there, so that the rest can be tested alone."""
    names = ("lumenkeep", "lumenkeep.web", "lumenkeep.web.settings")
    return all(importlib.util.find_spec(name) is not None for name in names)


if _has_web():
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "lumenkeep.web.settings")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what lies in some folders, and guard every test against hanging."""
    for item in items:
        folder = item.path.relative_to(TESTS).parts[0]
        if folder == "browser":
            item.add_marker(pytest.mark.browser)
        if folder in THOROUGH:
            item.add_marker(pytest.mark.thorough)
        asked = item.get_closest_marker("timeout")
        # A test may ask for a longer guard; a shorter one would be a limit.
        if asked is None or asked.args[0] < GUARD_SECONDS:
            item.add_marker(pytest.mark.timeout(GUARD_SECONDS), append=False)


def find_chromium() -> str:
    """Return the browser's path; fail, never skip, where there is none."""
    asked_for = os.environ.get("CHROMIUM")
    for name in (asked_for,) if asked_for else BROWSER_NAMES:
        if path := shutil.which(name):
            return path
    pytest.fail(
        f"No browser found (looked for {asked_for or ', '.join(BROWSER_NAMES)}). "
        "Install chromium, or set CHROMIUM to its path; "
        "make test-fast needs none.",
        pytrace=False,
    )


@pytest.fixture(scope="session")
def filled_demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with the demo, filled once for all processes of a run, to be copied."""
    from tests.fakes.served import fill_demo_in

    run = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        run = run.parent
    filled = run / "filled-demo"
    with (run / "filled-demo.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not filled.exists():
            fill_demo_in(run / "half-filled-demo")
            (run / "half-filled-demo").rename(filled)
    return filled


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One headless Chromium for all tests of this process."""
    from playwright.sync_api import expect, sync_playwright

    # Playwright's event loop lives in this thread; Django would take that for a
    # mistake of ours and refuse its database.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    path = find_chromium()
    expect.set_options(timeout=PATIENCE_MS)
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(
            executable_path=path, args=list(BROWSER_ARGS)
        )
        yield running
        running.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A page in a fresh profile; the test fails if it asks another machine."""
    strangers: list[str] = []

    def note_stranger(request: Request) -> None:
        if not request.url.startswith(THIS_MACHINE):
            strangers.append(request.url)

    context = browser.new_context()
    context.on("request", note_stranger)
    yield context.new_page()
    context.close()
    assert not strangers, f"the page asked other machines: {strangers}"
