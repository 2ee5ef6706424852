"""Waiting for what a page does in its own time."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page

# For what a process of its own works out, which lets everything else go first.
WORKED_OUT_MS = 240_000


def resize(page: Page, width: int, height: int = 844) -> None:
    """Give the page another size, and wait until it has it."""
    page.set_viewport_size({"width": width, "height": height})
    page.wait_for_function("(width) => innerWidth === width", arg=width)


def load_fonts(page: Page) -> None:
    """Wait for every typeface of the page, also those that no text has asked for yet."""
    page.evaluate(
        """async () => {
            await Promise.all([...document.fonts].map((font) => font.load()));
            await document.fonts.ready;
        }"""
    )
