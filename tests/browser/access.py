"""What bars somebody from a page: a checker's faults, in light and dark, and sideways scroll."""

from __future__ import annotations

from typing import TYPE_CHECKING

from axe_playwright_python.sync_playwright import Axe
from tests.browser.waiting import resize

if TYPE_CHECKING:
    from playwright.sync_api import Page

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
COLOURS = ["color-contrast", "link-in-text-block"]
"""In the dark the same page has other colours, and nothing else of its own."""
WIDTHS = (320, 390, 820)
DESKTOP = (1280, 720)


def open_folds(page: Page) -> None:
    """Open everything that can be opened, so that it is looked at too."""
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")


def bars_anybody(page: Page, where: str, rules: list[str] | None = None) -> list[str]:
    """Return each fault of access of a page as it stands."""
    options = {"resultTypes": ["violations"], "runOnly": rules or RULES}
    found = Axe().run(page, options=options)
    return [
        f"{where}: {fault['id']}: {node['target']} {node['failureSummary']}"
        for fault in found.response["violations"]
        for node in fault["nodes"]
    ]


def bars_anybody_in_any_light(page: Page, where: str) -> list[str]:
    """Return each fault of access, in light and then in dark colours; light stays."""
    faults = []
    for scheme, rules in (("dark", COLOURS), ("light", RULES)):
        page.emulate_media(color_scheme=scheme, reduced_motion="reduce")  # type: ignore[arg-type]
        faults += bars_anybody(page, f"{where} {scheme}", rules)
    return faults


def too_wide(page: Page, where: str) -> list[str]:
    """Return at which widths (px) a page scrolls sideways; it is a desktop's afterwards."""
    wide = []
    for width in WIDTHS:
        resize(page, width)
        found = page.evaluate("document.documentElement.scrollWidth")
        if found > width:
            wide.append(f"{where} scrolls sideways at {width}: {found}")
    resize(page, *DESKTOP)
    return wide


def faults_of(page: Page, where: str) -> list[str]:
    """Return all of this of one page, its folds open."""
    open_folds(page)
    return [*bars_anybody_in_any_light(page, where), *too_wide(page, where)]
