"""Which line a page is about: who, where, and the addresses of its other pages."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.core.exceptions import BadRequest
from django.http import Http404
from django.urls import reverse

from lumenkeep.errors import ChartError
from lumenkeep.services.line_at_hand import line_at_hand
from lumenkeep.web.pages.desk import must_see
from lumenkeep.web.pages.shapes.facts import child_in_words
from lumenkeep.web.pages.shapes.strip import line_in_words

if TYPE_CHECKING:
    from datetime import datetime

    from lumenkeep.services.line_at_hand import LineAtHand
    from lumenkeep.services.ports import StaffRecord
    from lumenkeep.web.pages.desk import Desk


@dataclass(frozen=True, slots=True)
class LineHead:
    """A line in the words and addresses that its pages share."""

    key: str
    bed: str
    name: str
    words: str
    child_words: str
    ward_name: str
    ward_href: str
    href: str
    plan_href: str
    finding_href: str
    chart_change_href: str


def find_line(at: Desk, key: str, person: StaffRecord) -> LineAtHand:
    """Return the line a page is about.

    Raises
    ------
    Http404
        There is no such line.
    PermissionDenied
        It lies on a ward that this person does not see.
    """
    try:
        found = line_at_hand(at.chart, at.policies, key)
    except ChartError as error:
        raise Http404 from error
    must_see(person, found.ward.key)
    return found


def must_be_in(found: LineAtHand) -> None:
    """Refuse to chart on a line that is out.

    Raises
    ------
    BadRequest
        It has been taken out.
    """
    if found.record.state.removed_at is not None:
        raise BadRequest


def line_head(found: LineAtHand, now: datetime) -> LineHead:
    """Return the line's words and addresses, seen from ``now`` (UTC)."""
    record = found.record
    key = record.key
    return LineHead(
        key=key,
        bed=record.bed or "not charted",
        name=record.child_name,
        words=line_in_words(record),
        child_words=child_in_words(record.state.case, now),
        ward_name=found.ward.name,
        ward_href=reverse("ward", args=[found.ward.key]),
        href=reverse("line", args=[key]),
        plan_href=reverse("plan", args=[key]),
        finding_href=reverse("chart-finding", args=[key]),
        chart_change_href=reverse("chart-change", args=[key]),
    )
