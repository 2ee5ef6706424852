"""The guide's shell: one page, its offline worker, its manifest; no child in any of them.

They need no sign-in: a tablet must be able to open the guide where no server answers,
and what is shown of a child comes from the tablet's own store.
"""

from __future__ import annotations

import hashlib
import json
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from django.contrib.auth.decorators import login_not_required
from django.contrib.staticfiles import finders
from django.http import HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.http import require_safe

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from django.http import HttpRequest

FOLDER = "lumenkeep/guide"
BESIDE = (
    "lumenkeep/lumenkeep.css",
    "lumenkeep/look.js",
    "lumenkeep/look-switch.js",
    "lumenkeep/mark.svg",
    "lumenkeep/fonts/atkinson-hyperlegible-latin-400-normal.woff2",
    "lumenkeep/fonts/atkinson-hyperlegible-latin-400-italic.woff2",
    "lumenkeep/fonts/atkinson-hyperlegible-latin-700-normal.woff2",
)
KEPT_KINDS = (".js", ".css", ".png")
# Kept as addresses of their own, or needed only where a server answers.
NOT_KEPT = ("worker.js", "beat.js", "prepare.js")
SCRIPT = "text/javascript; charset=utf-8"
# The worker looks for a new version itself; a stale copy in between would hide it.
FRESH = "no-cache"


def _file(name: str) -> Path:
    found = finders.find(name)
    if not isinstance(found, str):
        msg = f"{name} is not among the static files"
        raise TypeError(msg)
    return Path(found)


def kept_files() -> Iterator[tuple[str, bytes]]:
    """Yield address and content of every static file that the guide needs offline."""
    folder = _file(f"{FOLDER}/guide.js").parent
    own = sorted(
        path.name
        for path in folder.iterdir()
        if path.suffix in KEPT_KINDS and path.name not in NOT_KEPT
    )
    for name in (*BESIDE, *(f"{FOLDER}/{file}" for file in own)):
        yield static(name), _file(name).read_bytes()


def version_of(contents: Mapping[str, bytes]) -> str:
    """Return the version of the offline copy, from the content of what is kept."""
    digest = hashlib.sha256()
    for address, content in sorted(contents.items()):
        digest.update(f"{address} {len(content)} ".encode())
        digest.update(content)
    return digest.hexdigest()[:16]


@lru_cache(maxsize=1)
def _shell() -> str:
    return render_to_string("lumenkeep/guide/shell.html")


def _manifest() -> dict[str, object]:
    icon = f"{FOLDER}/icon"
    sizes = (192, 512)
    icons = [
        {
            "src": static(f"{icon}-{size}{kind}.png"),
            "sizes": f"{size}x{size}",
            "type": "image/png",
            "purpose": purpose,
        }
        for size in sizes
        for kind, purpose in (("", "any"), ("-maskable", "maskable"))
    ]
    return {
        "name": "Lumenkeep guide",
        "short_name": "Guide",
        "description": "Dressing changes step by step, for two people at the bedside.",
        "lang": "en",
        "id": reverse("guide-shell"),
        "start_url": reverse("guide-shell"),
        "scope": reverse("guide-shell"),
        "display": "standalone",
        "background_color": "#f5f2ea",
        "theme_color": "#1b5567",
        "icons": icons,
    }


@lru_cache(maxsize=1)
def _worker() -> str:
    pages = {
        reverse("guide-shell"): _shell().encode(),
        reverse("guide-beat"): _file(f"{FOLDER}/beat.js").read_bytes(),
        reverse("guide-manifest"): json.dumps(_manifest()).encode(),
    }
    kept = {**pages, **dict(kept_files())}
    text = _file(f"{FOLDER}/worker.js").read_text("utf-8")
    head = f"const VERSION = {json.dumps(version_of({**kept, 'worker': text.encode()}))};\n"
    return f"{head}const KEPT = {json.dumps(list(kept))};\n{text}"


@login_not_required
@require_safe
def shell(_request: HttpRequest) -> HttpResponse:
    """Return the page that holds the guide; the same for everybody."""
    return HttpResponse(_shell(), headers={"Cache-Control": FRESH})


@login_not_required
@require_safe
def worker(_request: HttpRequest) -> HttpResponse:
    """Return the offline worker, with the list of what it keeps and its version."""
    headers = {"Cache-Control": FRESH, "Service-Worker-Allowed": reverse("guide-shell")}
    return HttpResponse(_worker(), content_type=SCRIPT, headers=headers)


@login_not_required
@require_safe
def beat(_request: HttpRequest) -> HttpResponse:
    """Return the worker that counts; its address must lie where the copy is served."""
    text = _file(f"{FOLDER}/beat.js").read_text("utf-8")
    return HttpResponse(text, content_type=SCRIPT, headers={"Cache-Control": FRESH})


@login_not_required
@require_safe
def manifest(_request: HttpRequest) -> JsonResponse:
    """Return what a tablet needs to install the guide."""
    return JsonResponse(_manifest(), content_type="application/manifest+json")
