"""Bring a set in from a file, in the place of what the draft says."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from lumenkeep.errors import Fault, InputError
from lumenkeep.ward.policies.archive_file import GREATEST_BYTES, files_from
from lumenkeep.ward.policies.edit import save_files
from lumenkeep.ward.policies.pages.context import editing_context, find_draft
from lumenkeep.ward.policies.pages.draft import draft_page
from lumenkeep.ward.policies.pages.editing import REFUSED

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse


@require_POST
def bring(request: HttpRequest, key: str) -> HttpResponse:
    """Take the file sent, or show every fault of it."""
    found = editing_context(request)
    record = find_draft(found, key)
    sent = request.FILES.get("file")
    if sent is None or isinstance(sent, list):
        fault = Fault(
            "policy-file-missing",
            "No file was chosen.",
            "file",
            "choose the file that was taken out here",
        )
        return draft_page(request, found, record, [fault], REFUSED)
    text = request.POST.get("revision", "")
    revision = int(text) if text.isascii() and text.isdigit() else 0
    try:
        files = files_from(sent.read(GREATEST_BYTES + 1), record)
        save_files(
            found.repository,
            found.at.clock,
            key,
            found.person,
            files,
            revision=revision,
        )
    except InputError as error:
        return draft_page(request, found, record, error.faults, REFUSED)
    messages.success(request, "The file has taken the place of what the draft said.")
    return redirect("policy-draft", key)
