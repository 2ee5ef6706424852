"""The page of a draft: its parts in groups, what it changes, and what becomes of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from lumenkeep.core.policy.archive import policy_from_texts
from lumenkeep.core.policy.texts import PROCEDURES, is_procedure
from lumenkeep.text.moments import capital, lower_first, moment_in_words
from lumenkeep.text.policy.restated import restated_in_words
from lumenkeep.ward.chart.pages.context import show
from lumenkeep.ward.policies.archive_file import set_as_file
from lumenkeep.ward.policies.edit import ORDERS
from lumenkeep.ward.policies.pages.context import (
    PolicyContext,
    editing_context,
    find_draft,
    policy_context,
    policy_of_draft,
)
from lumenkeep.ward.policies.pages.words import (
    FIELD_OF,
    KINDS,
    NEW,
    label_of,
    number_words,
    part_label,
    rule_sentence,
)
from lumenkeep.ward.policies.pages.words import ORDERS as ORDER_WORDS
from lumenkeep.ward.policies.parts import SET, Parts, Table
from lumenkeep.ward.policies.runs import proof_of
from lumenkeep.ward.policies.steps import hand_over as take_over
from lumenkeep.ward.versions.life import LifeError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from django.http import HttpRequest

    from lumenkeep.core.policy import Policy
    from lumenkeep.errors import Fault
    from lumenkeep.ward.versions.records import DraftRecord


@dataclass(frozen=True, slots=True)
class PartRow:
    """One part: what it is called, what it says, and where it is changed."""

    label: str
    says: str
    href: str
    is_changed: bool
    is_removed: bool = False


@dataclass(frozen=True, slots=True)
class PartGroup:
    """Parts of a kind; those from published guidance stand apart."""

    id: str
    title: str
    rows: tuple[PartRow, ...]
    published: tuple[PartRow, ...]


@dataclass(frozen=True, slots=True)
class ChangedPart:
    """A part that differs from the version the draft was started from."""

    label: str
    before: str
    after: str
    href: str


def draft_parts(
    draft: DraftRecord, policy: Policy, parts: Parts, today: date
) -> list[PartGroup]:
    """Return everything in a draft that can be changed on a page."""
    orders = tuple(
        PartRow(
            ORDER_WORDS[which],
            ", then ".join(
                lower_first(label_of(policy, i)) for i in _order(policy, which)
            ),
            reverse("policy-order", args=[draft.key, which]),
            which in parts.set_table,
        )
        for which in ORDERS
    )
    groups = [PartGroup("orders", "What is tried first", orders, ())]
    groups.append(_numbers(draft, policy, parts, today))
    groups += [_rules(draft, policy, parts, kind, today) for kind in KINDS]
    return groups


def _order(policy: Policy, which: str) -> tuple[str, ...]:
    return policy.antiseptics if which == "antiseptics" else policy.dressings


def _numbers(
    draft: DraftRecord, policy: Policy, parts: Parts, today: date
) -> PartGroup:
    ours: list[PartRow] = []
    published: list[PartRow] = []
    for id_ in parts.ids("number"):
        row = PartRow(
            capital(policy.numbers[id_].means),
            number_words(policy.numbers[id_], today),
            reverse("policy-number", args=[draft.key, id_]),
            parts.is_own("number", id_),
        )
        (published if _is_published(parts, "number", id_) else ours).append(row)
    return PartGroup("numbers", "Limits and times", tuple(ours), tuple(published))


def _rules(
    draft: DraftRecord, policy: Policy, parts: Parts, kind: str, today: date
) -> PartGroup:
    ours: list[PartRow] = []
    published: list[PartRow] = []
    for rule in getattr(policy, FIELD_OF[kind]):
        row = PartRow(
            rule.because,
            rule_sentence(policy, rule, today),
            reverse("policy-rule", args=[draft.key, kind, rule.id]),
            parts.is_own(kind, rule.id),
        )
        (published if _is_published(parts, kind, rule.id) else ours).append(row)
    for id_ in parts.removed:
        gone = parts.inherited(kind, id_)
        if gone is not None and not parts.is_own(kind, id_):
            href = reverse("policy-rule", args=[draft.key, kind, id_])
            label = str(gone.get("because", id_))
            ours.append(PartRow(label, "Taken out.", href, True, True))  # noqa: FBT003  a row's marks
    return PartGroup(kind, KINDS[kind], tuple(ours), tuple(published))


def _is_published(parts: Parts, kind: str, id_: str) -> bool:
    """Return whether a part is as the ground layer says it, which no ward works with."""
    if parts.is_own(kind, id_) or not parts.below:
        return False
    ground = Parts((), parts.below[0], {})
    if not ground.set_table.get("abstract"):
        return False
    above = Parts(parts.below[1:], {}, {})
    return ground.table(kind, id_) is not None and above.table(kind, id_) is None


def draft_changes(
    draft: DraftRecord, policy: Policy, parts: Parts, today: date
) -> list[ChangedPart]:
    """Return what a draft says otherwise than what lies below it."""
    below = policy_from_texts(draft.below) if draft.below else None
    found = [
        _changed(draft, policy, below, parts, kind, id_, today)
        for kind, id_ in parts.changed()
    ]
    for which in ORDERS:
        if which in parts.set_table and below is not None:
            before, after = (
                ", then ".join(label_of(p, i) for i in _order(p, which))
                for p in (below, policy)
            )
            href = reverse("policy-order", args=[draft.key, which])
            if before != after:
                found.append(ChangedPart(ORDER_WORDS[which], before, after, href))
    return [*found, *_procedures(draft)]


def _procedures(draft: DraftRecord) -> list[ChangedPart]:
    """Return the procedure files of a draft that stand in for those below."""
    below: dict[str, str] = {}
    for layer in draft.below:
        below.update(layer.procedures)
    return [
        ChangedPart(
            f"Procedures, file {name.removeprefix(PROCEDURES)}",
            "as it comes from below" if name in below else "",
            "written anew, as a whole",
            "",
        )
        for name, text in sorted(draft.files.items())
        if is_procedure(name) and below.get(name) != text
    ]


def _changed(
    draft: DraftRecord,
    policy: Policy,
    below: Policy | None,
    parts: Parts,
    kind: str,
    id_: str,
    today: date,
) -> ChangedPart:
    now, was = parts.table(kind, id_), parts.inherited(kind, id_)
    before = _says(below, kind, id_, was, today) if below and was else ""
    after = _says(policy, kind, id_, now, today) if now else "taken out"
    if before == after:
        before = "as now, with another reason, source or day"
    name = dict(now or was or {})
    return ChangedPart(
        part_label(policy, kind, id_, name), before, after, _href(draft, kind, id_)
    )


def _says(policy: Policy, kind: str, id_: str, table: Table | None, today: date) -> str:
    if kind == "number" and id_ in policy.numbers:
        number = policy.numbers[id_]
        later = [v for v in number.values if v.start > today]
        more = f", from {later[0].start} {later[0].written}" if later else ""
        return number_words(number, today) + more
    if kind in FIELD_OF:
        rules = {rule.id: rule for rule in getattr(policy, FIELD_OF[kind])}
        if id_ in rules:
            return rule_sentence(policy, rules[id_], today)
    return part_label(policy, kind, id_, dict(table or {}))


def _href(draft: DraftRecord, kind: str, id_: str) -> str:
    if kind == "number":
        return reverse("policy-number", args=[draft.key, id_])
    if kind in FIELD_OF:
        return reverse("policy-rule", args=[draft.key, kind, id_])
    return reverse("policy-about", args=[draft.key]) if kind == SET else ""


def rules_by_number(draft: DraftRecord, number: str) -> list[tuple[str, str]]:
    """Return reason and address of each rule that goes by a number."""
    policy = policy_from_texts(draft.layers)
    return [
        (rule.because, reverse("policy-rule", args=[draft.key, kind, rule.id]))
        for kind, field in FIELD_OF.items()
        for rule in getattr(policy, field)
        if any(part.number == number for row in rule.when for part in row)
        or number in (getattr(rule, name, None) for name in ("not_before", "not_after"))
    ]


ZIP = "application/zip"


@require_safe
@never_cache
def draft(request: HttpRequest, key: str) -> HttpResponse:
    """Show a draft with everything in it that can be changed."""
    found = policy_context(request)
    return draft_page(request, found, find_draft(found, key))


def draft_page(
    request: HttpRequest,
    found: PolicyContext,
    record: DraftRecord,
    faults: Sequence[Fault] = (),
    status: int = 200,
) -> HttpResponse:
    """Return the page of a draft, with the faults of a file or of a step."""
    policy, parts = policy_of_draft(record), Parts.of(record.layers)
    names = found.names()
    context = {
        "draft": record,
        "policy": policy,
        "openly": restated_in_words(policy, found.today),
        "edited": moment_in_words(record.edited_at, found.now, found.zone),
        "editor": names.get(record.edited_by, record.edited_by),
        "changes": draft_changes(record, policy, parts, found.today),
        "groups": draft_parts(record, policy, parts, found.today),
        "new_rules": [
            (reverse("policy-new-rule", args=[record.key, kind]), words)
            for kind, words in NEW.items()
        ],
        "may_edit": found.may_edit,
        "faults": faults,
    }
    return show(
        request,
        "lumenkeep/policy/draft.html",
        context,
        found,
        status=status,
    )


@require_safe
def export(request: HttpRequest, key: str) -> HttpResponse:
    """Send the draft as one file."""
    record = find_draft(policy_context(request), key)
    return packed(record.set_id, dict(record.files))


def packed(set_id: str, files: dict[str, str]) -> HttpResponse:
    """Return a set as a file to keep."""
    answer = HttpResponse(set_as_file(set_id, files), content_type=ZIP)
    answer["Content-Disposition"] = f'attachment; filename="{set_id}.zip"'
    return answer


@require_POST
def hand_over(request: HttpRequest, key: str) -> HttpResponse:
    """Keep the proved draft as a version that somebody else can approve."""
    found = editing_context(request)
    record = find_draft(found, key)
    policy = policy_of_draft(record)
    run = proof_of(record.layers, policy.digest, found.today)
    try:
        version = take_over(
            found.repository, found.at.clock, record, found.person, run.done
        )
    except LifeError as error:
        return draft_page(request, found, record, error.faults, status=409)
    messages.success(request, "Handed over. Another educator can now approve it.")
    return redirect("policy-version", version.id)


@require_POST
def put_away(request: HttpRequest, key: str) -> HttpResponse:
    """Put a draft away."""
    found = editing_context(request)
    record = find_draft(found, key)
    found.repository.close_draft(record.key, found.person.key, found.now)
    messages.success(request, f"The draft “{record.title}” is put away.")
    return redirect("policy")
