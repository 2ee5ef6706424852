"""The pages of a ward, as the row of links on each of them."""

from __future__ import annotations

from dataclasses import dataclass

from django.urls import reverse

from lumenkeep.ward.site.pages.shapes import Link

ALL = "all"


@dataclass(frozen=True, slots=True)
class WardPage:
    """A page of a ward.

    ``names`` are the addresses that belong to it, the first one the page itself;
    ``of_all`` is the address for all wards together, None where there is none.
    """

    title: str
    names: tuple[str, ...]
    of_all: str | None = None
    is_bare: bool = False


WARD_PAGES = (
    WardPage("Lines", ("ward",), "ward"),
    WardPage("Concerns", ("ward-concerns", "ward-handover"), "ward-concerns"),
    WardPage("Line round", ("round", "rounds", "round-look")),
    WardPage(
        "Outcomes",
        (
            "outcomes", "outcome-days", "outcome-day", "outcome-count",
            "outcome-baseline", "outcome-hour", "outcomes-home",
        ),
        "outcomes-home", is_bare=True,
    ),
    WardPage("Infections", ("infections", "infection"), "infections"),
    WardPage("Dressing life", ("dressing-life", "measuring-error"), "dressing-life"),
    WardPage(
        "Look-back",
        ("look-back", "look-back-behind", "look-back-home"),
        "look-back-home", is_bare=True,
    ),
)  # fmt: skip
"""In the order of a day's work: now first, the period last."""


def page_links(ward: str, page: str) -> tuple[Link, ...]:
    """Return the links of a ward's pages.

    Parameters
    ----------
    ward
        Its key, or ``all``; empty for a page of no ward, which has no such links.
    page
        Name of the address that is shown.
    """
    if not ward:
        return ()
    return tuple(
        Link(one.title, href, page in one.names)
        for one in WARD_PAGES
        if (href := _href(one, ward)) is not None
    )


def _href(one: WardPage, ward: str) -> str | None:
    if ward != ALL:
        return reverse(one.names[0], args=[ward])
    if one.of_all is None:
        return None
    return reverse(one.of_all, args=[] if one.is_bare else [ward])
