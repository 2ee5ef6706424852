"""What forms answer: with odd values in every field, then filled in; and what is stored."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urljoin, urlsplit

from django.urls import resolve
from tests.golden.parts import entries
from tests.golden.parts.html import Field, Form, sent_as_it_is
from tests.golden.parts.visit import Visit, name_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.golden.folder import Folder
    from tests.golden.parts.pages import Crawl

ODD = "odd?"
FILLED = {"text": "1", "number": "1", "search": "1", "date": "2026-11-24"}
WORDS = "Seen by two people."
# These begin long work, end the visit, or want the form that a crawl has not kept.
NOT_SENT = frozenset({
    "sign-out", "sign-in", "policy-start", "policy-hand-over", "policy-children",
    "policy-put-away",
})  # fmt: skip
LAST = frozenset({"line-out", "move-child", "correct", "line-removed"})
LOOKS = ("text", "number", "textarea", "select", "radio", "checkbox", "date", "search")


def write(folder: Folder, crawl: Crawl) -> None:
    """Send the forms of the kept pages, a few of each kind; write what changed."""
    visit = Visit(folder)
    found = sorted(_forms(crawl), key=lambda one: _ends_a_stay(*one))
    folder.text("forms.txt", "\n".join(_told(path, form) for path, form in found))
    before = entries.all_rows()
    for way, made in (("odd", _odd), ("filled", _filled)):
        for number, (path, form) in enumerate(found):
            sent = made(form)
            if sent is not None:
                if "submission" in sent:  # a form that was taken is not taken again
                    sent["submission"] = [f"golden-{way}-{number}"]
                where = f"sent-{way}/{name_of(path)}-{number}"
                visit.send(urljoin(path, form.action).partition("#")[0], sent, where)
        folder.text(
            f"stored-after-{way}.txt", "\n".join(entries.changes(before)) or "nothing"
        )


def _forms(crawl: Crawl) -> Iterator[tuple[str, Form]]:
    """Yield forms to be sent, a few for each address and set of fields."""
    sent: dict[tuple[str, ...], int] = {}
    for path, page in crawl.forms.items():
        for form in page.forms:
            match = resolve(urlsplit(urljoin(path, form.action)).path)
            route = match.url_name or ""
            if form.method != "post" or route in NOT_SENT:
                continue
            if route.startswith("policy-") and not crawl.reach.sends_drafts:
                continue
            kind = (
                route,
                str(match.kwargs.get("kind", "")),
                str(match.kwargs.get("task", "")),
            )
            if sent.get(kind, 0) < crawl.reach.per_form:
                sent[kind] = sent.get(kind, 0) + 1
                yield path, form


def _ends_a_stay(path: str, form: Form) -> bool:
    """Return whether a line or child is gone after it: such a form is sent last."""
    match = resolve(urlsplit(urljoin(path, form.action)).path)
    return match.url_name in LAST or match.kwargs.get("kind") in LAST


def _told(path: str, form: Form) -> str:
    lines = [f"{path} -> {form.method} {form.action or 'itself'}"]
    for one in form.fields:
        if one.name == "csrfmiddlewaretoken":
            continue
        chosen = " ".join(
            f"{value}{'*' if is_on else ''}" for value, is_on in one.options
        )
        state = "" if one.is_on else " off"
        lines.append(f"  {one.name} {one.kind}{state} {one.value!r} {chosen}".rstrip())
    return "\n".join(lines)


def _odd(form: Form) -> dict[str, list[str]] | None:
    """Return a form with every field that is seen made odd; None where none is seen."""
    if not any(one.kind in LOOKS for one in form.fields):
        return None
    sent = sent_as_it_is(form)
    for one in form.fields:
        if one.kind in LOOKS:
            sent[one.name] = [ODD]
    return {**sent, **_pressed(form)}


def _filled(form: Form) -> dict[str, list[str]]:
    """Return a form in which whatever was left open is filled in, the first way there is."""
    sent = sent_as_it_is(form)
    for one in form.fields:
        if not any(sent.get(one.name, [])) and not one.is_barred:
            value = _first(one)
            if value:
                sent[one.name] = [value]
    return {**sent, **_pressed(form)}


def _first(one: Field) -> str:
    match one.kind:
        case "select":
            return next((value for value, _ in one.options if value), "")
        case "radio":
            return one.value
        case "textarea":
            return WORDS
        case _:
            return FILLED.get(one.kind, "")


def _pressed(form: Form) -> dict[str, list[str]]:
    """Return the name of the first button, as if it were pressed."""
    buttons = [one for one in form.fields if one.kind in ("submit", "button")]
    return {one.name: [one.value] for one in buttons[:1]}
