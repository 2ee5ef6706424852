"""What the pages of one part share: the form around it, saving, and faults in plain words."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.http import HttpRequest
from django.shortcuts import redirect
from django.urls import reverse

from lumenkeep.core.policy.archive import SetTexts
from lumenkeep.errors import Fault, PolicyError
from lumenkeep.ward.chart.pages.context import show
from lumenkeep.ward.chart.pages.fields import Refusal
from lumenkeep.ward.policies.edit import (
    Conflict,
    PartName,
    field_faults,
    save_part,
    with_change,
)
from lumenkeep.ward.policies.pages.context import (
    PolicyContext,
    editing_context,
    find_draft,
    policy_of_draft,
)
from lumenkeep.ward.policies.pages.words import HOW, UNITS
from lumenkeep.ward.policies.parts import Parts
from lumenkeep.ward.versions.records import DraftRecord

if TYPE_CHECKING:
    from django.http import HttpResponse

    from lumenkeep.core.policy import Policy
    from lumenkeep.ward.policies.edit import Change
    from lumenkeep.ward.policies.parts import Table

BAD_VALUE = re.compile(r"(.*) is not a value in (\S+)\.", re.DOTALL)
MISSING = re.compile(r"'(\w+)' is missing\.")
NOTHING = {
    "value": ("The value is missing.", "write it"),
    "from": ("The day is missing.", "choose from which day it holds"),
    "source": ("No source is chosen.", "choose the one it rests on"),
    "unit": ("No unit is chosen.", "choose one"),
    "because": ("The reason is missing.", "write it as one sentence"),
    "bars": ("Nothing is ticked.", "tick what these children may not have"),
    "task": ("No task is chosen.", "choose one"),
    "title": ("The title is missing.", "write it"),
    "body": ("It is not said who published it.", "write who did"),
    "means": ("It is not said what it means.", "write it in a few words"),
    "how": ("It is not said how it is known.", "choose one"),
}
MENDS = {
    "policy-unknown-word": "choose one of those offered",
    "policy-wrong-kind": "write it in the way that is asked for",
    "policy-no-such-number": "choose a number, or write one here",
    "policy-no-such-source": "choose a source from the list",
}


def plain_fault(fault: Fault) -> Fault:
    """Return the fault as a form says it; one that speaks plainly stays as it is."""
    bad = BAD_VALUE.fullmatch(fault.what)
    if fault.code == "policy-bad-number" and bad:
        unit = bad[2]
        example = "28w0d" if unit == "weeks+days" else "7"
        is_gestation = unit == "weeks+days"
        asked = "weeks and days" if is_gestation else UNITS.get(unit, unit)
        return replace(
            fault,
            what=f"{bad[1]} is not a value in {asked}.",
            mend=f"write {'it' if is_gestation else 'a number'}, as in {example}",
        )
    missing = MISSING.fullmatch(fault.what)
    if fault.code == "policy-missing" and missing:
        name = missing[1]
        what, mend = NOTHING.get(name, ("Something is missing here.", "fill it in"))
        return replace(fault, what=what, mend=mend)
    if fault.code == "policy-missing" and "no values" in fault.what:
        return replace(
            fault, what="It has no value.", mend="write one, with its day and source"
        )
    return replace(fault, mend=MENDS.get(fault.code, fault.mend))


REFUSED, MET_ANOTHER = 422, 409


@dataclass(frozen=True, slots=True)
class Refused:
    """The part cannot be saved so.

    Attributes
    ----------
    faults
        By path in the part.
    others
        Faults that it would cause in other parts.
    """

    faults: dict[str, Fault]
    others: list[Fault]


def typed_of(post: Any) -> dict[str, list[str]]:
    """Return all texts of a form by name."""
    return {name: post.getlist(name) for name in post}


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
    found: PolicyContext
    draft: DraftRecord
    template: str
    title: str = ""
    others: Sequence[Fault] = ()
    status: int = 200
    refusals: Sequence[Refusal] = ()

    @property
    def is_sent(self) -> bool:
        """Whether its form was sent."""
        return self.request.method == "POST"

    @property
    def seen(self) -> str:
        """Mark of the part as whoever sent the form saw it."""
        return self.request.POST.get("seen", "")

    @property
    def policy(self) -> Policy:
        """The policy that the draft makes."""
        return policy_of_draft(self.draft)

    @property
    def parts(self) -> Parts:
        """The parts of the draft."""
        return Parts.of(self.draft.layers)

    def save(
        self,
        name: PartName,
        *,
        seen: str | None = None,
        table: Table | None = None,
        change: Change | None = None,
    ) -> DraftRecord | Conflict | Refused:
        """Save a part; return the draft, the other's value, or the faults."""
        try:
            return save_part(
                self.found.repository, self.found.at.clock, self.draft.key,
                self.found.person, name,
                seen=self.seen if seen is None else seen, table=table, change=change,
            )  # fmt: skip
        except PolicyError as error:
            draft, before = self.draft, self.parts
            files = change(before) if change else with_change(before, name, table)
            after = Parts.of((*draft.below, SetTexts.of(draft.set_id, files)))
            by_path, others = field_faults(error, draft, after, name)
            return Refused(
                {path: plain_fault(fault) for path, fault in by_path.items()}, others
            )

    def edited(self) -> HttpResponse:
        """Say that the part is saved, and go to the draft, where its effects are shown."""
        messages.success(self.request, f"Saved: {self.title}")
        back = reverse("policy-draft", args=[self.draft.key])
        return redirect(f"{back}#effects")

    def met(self) -> Page:
        """Return the page where somebody else saved the part first."""
        return replace(self, status=MET_ANOTHER)

    def saver(self, done: Conflict) -> str:
        """Return the name of who did."""
        return self.found.names().get(done.by, done.by)

    def refused(self, done: Refused, ids: Mapping[str, str]) -> Page:
        """Return the page with the faults of what was sent; ``ids`` as of `pointed`."""
        refusals = pointed(done.faults, ids)
        return replace(self, others=done.others, status=REFUSED, refusals=refusals)


def part_of(request: HttpRequest, key: str, template: str, title: str = "") -> Page:
    """Return the page of a part of a draft, for an educator.

    Raises
    ------
    PermissionDenied, Http404
        Somebody else asks, or there is no such draft.
    """
    found = editing_context(request)
    return Page(request, found, find_draft(found, key), template, title)


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
    return tuple((fault, _nearest(path, ids)) for path, fault in faults.items())


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
    sources = sorted(page.policy.sources.values(), key=lambda source: source.title)
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
        page.found,
        status=page.status,
    )
