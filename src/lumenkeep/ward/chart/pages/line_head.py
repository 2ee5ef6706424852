"""Which line a page is about: who, where, and the addresses of its other pages."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.core.exceptions import BadRequest
from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.views.defaults import bad_request

from lumenkeep.errors import ChartError
from lumenkeep.ward.chart.line_at_hand import SHARES_BED, line_at_hand, shares_bed
from lumenkeep.ward.chart.pages.context import must_see
from lumenkeep.ward.chart.pages.facts import child_in_words

if TYPE_CHECKING:
    from datetime import datetime

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.chart.line_at_hand import LineAtHand
    from lumenkeep.ward.site.people import StaffRecord

NOT_DONE = 400


@dataclass(frozen=True, slots=True)
class LineHead:
    """A line in the words and addresses that its pages share.

    ``shares_bed`` says that another child has the bed number too; empty where none has.
    """

    key: str
    bed: str
    shares_bed: str
    name: str
    words: str
    child_words: str
    ward_name: str
    ward_href: str
    href: str
    plan_href: str
    finding_href: str
    chart_change_href: str


class LineIsOutError(BadRequest):
    """Something was asked that only a line in place can have.

    Parameters
    ----------
    key
        Of the line.
    is_taken_back
        Whether it never was: its insertion has been taken back.
    """

    def __init__(self, key: str, *, is_taken_back: bool) -> None:
        super().__init__("The line is out.")
        self.key = key
        self.is_taken_back = is_taken_back


def cannot_be_done(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Answer what cannot be done: a line that is out leads to its page."""
    if not isinstance(exception, LineIsOutError):
        return bad_request(request, exception)
    context = {
        "href": reverse("line", args=[exception.key]),
        "is_taken_back": exception.is_taken_back,
    }
    return render(request, "lumenkeep/line_is_out.html", context, status=NOT_DONE)


def find_line(at: WardContext, key: str, person: StaffRecord) -> LineAtHand:
    """Return the line a page is about.

    Raises
    ------
    Http404
        There is no such line.
    PermissionDenied
        It lies on a ward that this person does not see.
    """
    try:
        found = line_at_hand(at, key)
    except ChartError as error:
        raise Http404 from error
    must_see(person, found.ward.key)
    return found


def must_be_in(found: LineAtHand) -> None:
    """Refuse to chart on a line that is out.

    Raises
    ------
    LineIsOutError
        It has been taken out, or its insertion has been taken back.
    """
    state = found.record.state
    if state.removed_at is not None:
        raise LineIsOutError(found.record.key, is_taken_back=state.is_taken_back)


def line_head(at: WardContext, found: LineAtHand, now: datetime) -> LineHead:
    """Return the line's words and addresses, seen from ``now`` (UTC)."""
    record = found.record
    is_shared = shares_bed(at.chart, record.ward, record.bed, record.child)
    key = record.key
    return LineHead(
        key=key,
        bed=record.bed_words,
        shares_bed=SHARES_BED if is_shared else "",
        name=record.child_name,
        words=record.words,
        child_words=child_in_words(record.state.case, now),
        ward_name=found.ward.name,
        ward_href=reverse("ward", args=[found.ward.key]),
        href=reverse("line", args=[key]),
        plan_href=reverse("plan", args=[key]),
        finding_href=reverse("chart-finding", args=[key]),
        chart_change_href=reverse("chart-change", args=[key]),
    )
