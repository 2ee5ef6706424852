"""A guide told to a real server by eight senders at once: one entry."""

from __future__ import annotations

import json
import re
import sqlite3
import time
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING

from tests.fakes.account import account_of
from tests.fakes.on_the_wire import Tablet
from tests.fakes.served import served_demo

if TYPE_CHECKING:
    from pathlib import Path

SENDERS = 8
LOOK_AGAIN_SECONDS = 0.2
"""As the tablet, which does not ask in every moment how far the steps are."""


def test_eight_senders_at_once_make_one_entry(
    tmp_path: Path, filled_demo: Path
) -> None:
    with served_demo(tmp_path, filled=filled_demo) as address:
        tablet = Tablet(address, "jasper")
        line = re.search(r"/line/([\w-]+)/", tablet.get("/ward/wren/").decode())
        assert line
        asked = {"line": line[1], "procedure": "re-cover", "findings": "loose"}
        bundle = tablet.post("/guide/runs/", asked)
        while "steps" not in bundle:
            time.sleep(LOOK_AGAIN_SECONDS)
            bundle = json.loads(tablet.get(f"/guide/runs/{bundle['run']}/bundle"))
        account = account_of(bundle, values={"findings": ["loose"]})
        path = f"/guide/runs/{bundle['run']}/account"
        with ThreadPoolExecutor(SENDERS) as pool:
            told = list(pool.map(lambda _: tablet.post(path, account), range(SENDERS)))

    statuses = sorted(one["status"] for one in told)
    assert statuses == ["already-written"] * (SENDERS - 1) + ["written"]
    assert len({tuple(one["entries"]) for one in told}) == 1
    with sqlite3.connect(tmp_path / "demo" / "lumenkeep.sqlite3") as database:
        count = "SELECT COUNT(*) FROM chart_entry WHERE submission = ?"
        assert database.execute(count, [bundle["run"]]).fetchone() == (1,)
    database.close()
