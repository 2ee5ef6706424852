"""What the pages of one part share: the page around the form, and where it leads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.http import HttpRequest
from django.shortcuts import redirect

from lumenkeep.errors import Fault
from lumenkeep.ward.chart.pages.desk import show
from lumenkeep.ward.chart.pages.fields import Refusal
from lumenkeep.ward.policies.pages.desk import PolicyDesk, policy_of_draft
from lumenkeep.ward.policies.pages.words import HOW
from lumenkeep.ward.versions.records import DraftRecord

if TYPE_CHECKING:
    from django.http import HttpResponse


@dataclass(frozen=True, slots=True)
class Page:
    """The page of one part of a draft.

    Attributes
    ----------
    others
        Faults it causes elsewhere.
    refusals
        Faults of its own, each with the field that it leads to.
    """

    request: HttpRequest
    found: PolicyDesk
    draft: DraftRecord
    template: str
    title: str
    others: Sequence[Fault] = ()
    status: int = 200
    refusals: Sequence[Refusal] = ()


def pointed(faults: Mapping[str, Fault], ids: Mapping[str, str]) -> tuple[Refusal, ...]:
    """Return the faults of a part, each with the field of its form that it speaks of.

    Parameters
    ----------
    faults
        By path in the part, as in ``values[0].source``.
    ids
        Of the form's fields, by path. A path that the form does not ask leads to the
        nearest one around it, and at last to that of the empty path.
    """
    return tuple(
        Refusal(fault.what, fault.mend, _nearest(path, ids))
        for path, fault in faults.items()
    )


def _nearest(path: str, ids: Mapping[str, str]) -> str:
    while path not in ids:
        path = path[: max(path.rfind("."), path.rfind("["), 0)]
    return ids[path]


def part_page(page: Page, form: Any, seen: str, **more: Any) -> HttpResponse:
    """Return the page with its form.

    Parameters
    ----------
    form
        What the template draws.
    seen
        Mark of the part that the person looks at.
    more
        Further values for the template: ``theirs`` and ``mine`` where somebody else
        saved the part first.
    """
    policy = policy_of_draft(page.draft)
    sources = sorted(policy.sources.values(), key=lambda source: source.title)
    context = {
        "draft": page.draft,
        "title": page.title,
        "form": form,
        "seen": seen,
        "sources": [(one.id, f"{one.title} ({one.body})") for one in sources],
        "how": list(HOW.items()),
        "others": page.others,
        "refusals": page.refusals,
        **more,
    }
    return show(
        page.request,
        page.template,
        context,
        person=page.found.person,
        wards=page.found.wards,
        status=page.status,
    )


def edited(page: Page, href: str) -> HttpResponse:
    """Say that the part is saved, and go where its effects are shown."""
    messages.success(page.request, f"Saved: {page.title}")
    return redirect(f"{href}#effects")
