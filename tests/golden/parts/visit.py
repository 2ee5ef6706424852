"""Somebody who is signed in, and what the web application answers as text."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, Any

from django.test import Client
from tests.golden.folder import slug
from tests.golden.from_the_house import PASSWORD
from tests.golden.parts.html import Page

if TYPE_CHECKING:
    from django.http import HttpResponse
    from tests.golden.folder import Folder

# What lies in these hangs on length, chance or the library's version.
NOT_KEPT = ("content-length", "expires", "date", "last-modified", "set-cookie", "etag")
SMALLEST_DRAWING = 400
_SVG = re.compile(r"<svg\b.*?</svg>", re.DOTALL)
_VERSION = re.compile(r'const VERSION = "[0-9a-f]+"')


class Visit:
    """A person's browser, without a screen."""

    def __init__(self, folder: Folder, account: str | None = "agate") -> None:
        self.folder = folder
        self.client = Client(SERVER_NAME="localhost")
        if account:
            sent = {"username": account, "password": PASSWORD}
            assert self.client.post("/sign-in/", sent).status_code == 302, account

    def look(self, path: str, where: str) -> Page:
        """Ask for a page, write it down, and return it."""
        return self.keep(self.client.get(path), f"GET {path}", where, path)

    def send(self, path: str, sent: Any, where: str, *, as_json: bool = False) -> Page:
        """Send a form or JSON, and write down the answer and where it leads to."""
        more = {"content_type": "application/json"} if as_json else {}
        answer = self.client.post(path, sent, **more)
        said = f"POST {path}\nsent {json.dumps(sent, ensure_ascii=False)}"
        return self.keep(answer, said, where, path)

    def keep(self, answer: HttpResponse, asked: str, where: str, path: str) -> Page:
        """Write an answer down, its drawings in files of their own."""
        kind = answer.headers.get("content-type", "")
        # What a policy of content allows comes in the order of a set.
        heads = sorted(
            f"{name}: {'; '.join(sorted(value.split('; ')))}"
            for name, value in answer.headers.items()
            if name.lower() not in NOT_KEPT
        )
        if "application/pdf" in kind:
            body, page = f"{len(answer.content) > 0}", Page("")
        elif "text/html" in kind:
            page = Page(self._apart(answer.content.decode(), where))
            body = "\n".join(page.lines)
        else:
            page, body = Page(""), self._other(answer, kind)
        said = f"{asked}\nstatus {answer.status_code}\n" + "\n".join(heads)
        self.folder.text(f"{where}.txt", f"{said}\n---\n{body}")
        return page

    def _apart(self, text: str, where: str) -> str:
        """Return a page without its large drawings, each written in a file."""
        count = 0

        def drawn(match: re.Match[str]) -> str:
            nonlocal count
            if len(match[0]) < SMALLEST_DRAWING:
                return match[0]
            count += 1
            name = f"drawings/{where.replace('/', '__')}-{count}.svg"
            self.folder.text(name, "\n".join(Page(match[0]).lines))
            return f"<p>drawing {count}</p>"

        return _SVG.sub(drawn, text)

    def _other(self, answer: HttpResponse, kind: str) -> str:
        streamed = getattr(answer, "streaming_content", None)
        raw = b"".join(streamed) if streamed is not None else answer.content
        if "json" in kind:
            return json.dumps(json.loads(raw), indent=1, ensure_ascii=False)
        return _VERSION.sub(
            'const VERSION = "<version>"', raw.decode("utf-8", "replace")
        )


def name_of(path: str) -> str:
    """Return the name of the file for an address."""
    return slug(path)
