"""The facts that would decide, in words, with the form that charts each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from django.urls import reverse

from lumenkeep.services.infection_facts import RESULT
from lumenkeep.services.infection_questions import FORMS

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.model.entry import Entry
    from lumenkeep.services.infection import Infection
    from lumenkeep.web.pages.infections.words import Plain


@dataclass(frozen=True, slots=True)
class AskRow:
    """A fact that would decide: what it is, what each answer makes of it, where to go."""

    rule: str
    text: str
    ways: tuple[str, ...]
    href: str
    action: str


def ask_rows(
    infection: Infection, entries: Iterable[Entry], plain: Plain
) -> tuple[AskRow, ...]:
    """Return the facts that an infection asks for."""
    lines = [str(entry.line) for entry in entries if entry.line is not None]
    first = lines[0] if lines else None
    rows = []
    for ask in infection.asks:
        line = ask.about if ask.about in lines else first
        href = action = ""
        if ask.charts_as and line is not None:
            href = reverse("chart-infection", args=[line, ask.charts_as])
            action = FORMS[ask.charts_as].title
            if ask.charts_as == RESULT:
                href += f"?{urlencode({'specimen': ask.about})}"
        ways = tuple(plain(way) for way in ask.ways)
        rows.append(AskRow(ask.rule, plain(ask.text), ways, href, action))
    return tuple(rows)
