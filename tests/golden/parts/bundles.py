"""What a tablet is given for a guide: on lines of the demo, and to practise with."""

from __future__ import annotations

import json
import time
from typing import TYPE_CHECKING, Any

from tests.golden.parts import entries
from tests.golden.parts.pages import sample_lines
from tests.golden.parts.visit import Visit

if TYPE_CHECKING:
    from tests.golden.folder import Folder

NOT_YET = 202
PATIENCE_SECONDS = 3600
PRACTICE = (("dressing-change", 7), ("connector-change", 1))
PROCEDURES = ("dressing-change", "re-cover", "connector-change", "set-change")
LINES = 2


def write(folder: Folder) -> None:
    """Write the bundles, once their ways back are all worked out, and what was stored."""
    visit = Visit(folder)
    for procedure, seed in PRACTICE:
        path = f"/guide/practice/bundle?procedure={procedure}&seed={seed}"
        folder.json(f"bundles/practice-{procedure}-{seed}.json", _waited(visit, path))
    before = entries.all_rows()
    for number, line in enumerate(sample_lines(visit)[:LINES]):
        for procedure in PROCEDURES[: 2 if number else 4]:
            _guide(visit, line, procedure, f"bundles/{number}-{procedure}")
    folder.text("bundles/stored.txt", "\n".join(entries.changes(before)) or "nothing")


def _guide(visit: Visit, line: str, procedure: str, where: str) -> None:
    """Open a guide as a tablet does, write its bundle, and give it up."""
    sent = {
        "line": line,
        "procedure": procedure,
        "assistant": "s-beryl",
        "tablet": "t-1",
    }
    answer = visit.client.post("/guide/runs/", sent, content_type="application/json")
    said = json.loads(answer.content)
    if "run" not in said:
        visit.folder.json(f"{where}-refused.json", said)
        return
    run = f"/guide/runs/{said['run']}"
    visit.folder.json(f"{where}.json", _waited(visit, f"{run}/bundle"))
    visit.look(f"{run}/facts", f"{where}-facts")
    visit.send(
        f"{run}/give-up", {"reason": "Only a try."}, f"{where}-give-up", as_json=True
    )


def _waited(visit: Visit, path: str) -> Any:
    """Return a bundle as soon as it is whole: with the ways back from a second slip."""
    end = time.monotonic() + PATIENCE_SECONDS
    while time.monotonic() < end:
        answer = visit.client.get(path)
        said = json.loads(answer.content)
        # It is sent as soon as a guide can begin; what follows comes later.
        if answer.status_code != NOT_YET and not said.get("more_ways"):
            return said
        time.sleep(2)
    msg = f"{path} was not ready after {PATIENCE_SECONDS} s"
    raise TimeoutError(msg)
