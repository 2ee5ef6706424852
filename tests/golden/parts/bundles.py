"""What a tablet is given for a guide: on lines of the demo, and to practise with."""

from __future__ import annotations

import json
import time
from typing import TYPE_CHECKING, Any

from tests.golden.parts import entries
from tests.golden.parts.visit import Visit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.http import HttpResponse
    from tests.golden.folder import Folder

NOT_YET = 202
PATIENCE_SECONDS = 1800
PRACTICE = (("dressing-change", 7), ("connector-change", 1))
PROCEDURES = ("dressing-change", "re-cover", "connector-change", "set-change")


def write(folder: Folder, lines: Sequence[str]) -> None:
    """Write the bundles, once their ways back are all worked out, and what was stored."""
    visit = Visit(folder)
    for procedure, seed in PRACTICE:
        path = f"/guide/practice/bundle?procedure={procedure}&seed={seed}"
        folder.json(f"bundles/practice-{procedure}-{seed}.json", _waited(visit, path))
    before = entries.all_rows()
    for number, line in enumerate(lines[:3]):
        for procedure in PROCEDURES[: 2 if number else 4]:
            where = f"bundles/{number}-{procedure}"
            said = _opened(visit, line, procedure)
            folder.json(f"{where}.json", said)
            if "run" in said and "steps" in said:
                for way in ("facts", "give-up"):
                    _told(visit, said["run"], way, f"{where}-{way}")
    folder.text("bundles/stored.txt", "\n".join(entries.changes(before)) or "nothing")


def _opened(visit: Visit, line: str, procedure: str) -> Any:
    people = json.loads(
        visit.client.get("/guide/token").content
    )  # the token is asked for as a tablet does
    assert people["token"]
    sent = {
        "line": line,
        "procedure": procedure,
        "assistant": "s-beryl",
        "tablet": "t-1",
    }
    answer = visit.client.post("/guide/runs/", sent, content_type="application/json")
    said = _json(answer)
    if answer.status_code == NOT_YET:
        return _waited(visit, f"/guide/runs/{said['run']}/bundle")
    return said


def _told(visit: Visit, run: str, way: str, where: str) -> None:
    path = f"/guide/runs/{run}/{way}"
    if way == "facts":
        visit.look(path, where)
    else:
        visit.send(path, {"reason": "Only a try."}, where, as_json=True)


def _json(answer: HttpResponse) -> Any:
    return json.loads(answer.content)


def _waited(visit: Visit, path: str) -> Any:
    """Return a bundle as soon as it is whole: with the ways back from a second slip."""
    end = time.monotonic() + PATIENCE_SECONDS
    last: Any = None
    while time.monotonic() < end:
        answer = visit.client.get(path)
        said = _json(answer)
        if answer.status_code != NOT_YET:
            if said == last or "steps" not in said:
                return said
            # It is sent as soon as a guide can begin; what follows comes later.
            last = said if _is_whole(said) else None
        time.sleep(1)
    msg = f"{path} was not ready after {PATIENCE_SECONDS} s"
    raise TimeoutError(msg)


def _is_whole(said: dict[str, Any]) -> bool:
    return bool(said.get("ways_in_ways")) or "ways_in_ways" not in said
