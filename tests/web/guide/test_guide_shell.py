"""The guide's shell: open to all, without a child, kept whole by its worker."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import lumenkeep.ward.guide
from lumenkeep.ward.guide.pages.shell import version_of

if TYPE_CHECKING:
    from django.test import Client

# A request closes old connections, which needs leave to touch the database.
pytestmark = pytest.mark.django_db
GUIDE = Path(lumenkeep.ward.guide.__file__).parent / "static" / "lumenkeep" / "guide"
IMPORT = re.compile(r'^import .*? from "\./([\w-]+\.js)";', re.MULTILINE)


@pytest.mark.parametrize("name", ["", "worker.js", "beat.js", "app.webmanifest"])
def test_the_shell_needs_no_sign_in_and_writes_no_cookie(
    client: Client, name: str
) -> None:
    answer = client.get(f"/guide/{name}")

    assert answer.status_code == 200
    assert not answer.cookies
    assert b"Demo" not in answer.content


def test_the_worker_keeps_every_module_that_the_guide_imports(client: Client) -> None:
    text = client.get("/guide/worker.js").content.decode()
    kept = set(json.loads(text.split("const KEPT = ")[1].split(";\n")[0]))
    needed, waiting = set(), ["guide.js"]
    while waiting:
        name = waiting.pop()
        if name not in needed:
            needed.add(name)
            waiting += IMPORT.findall((GUIDE / name).read_text("utf-8"))

    assert "fold.js" in needed
    assert {f"/static/lumenkeep/guide/{name}" for name in needed} <= kept
    shell = client.get("/guide/").content.decode()
    linked = re.findall(r'(?:href|src)="(/[^"#]+)"', shell)
    assert set(linked) <= kept
    for path in kept:
        answer = client.get(path)
        answer.close()
        assert answer.status_code == 200, path


def test_the_worker_may_serve_the_guide_and_nothing_else(client: Client) -> None:
    answer = client.get("/guide/worker.js")

    assert answer["Service-Worker-Allowed"] == "/guide/"
    assert answer["Content-Type"].startswith("text/javascript")
    assert "const VERSION = " in answer.content.decode()


def test_a_change_in_any_kept_file_is_another_version() -> None:
    first = version_of({"/a": b"one", "/b": b"two"})

    assert first == version_of({"/b": b"two", "/a": b"one"})
    assert first != version_of({"/a": b"one", "/b": b"twp"})
    assert first != version_of({"/a": b"onet", "/b": b"wo"})
