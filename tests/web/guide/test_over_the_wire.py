"""A guide told to a real server by eight senders at once: one entry."""

from __future__ import annotations

import json
import re
import sqlite3
import time
from concurrent.futures import ThreadPoolExecutor
from http.cookiejar import CookieJar
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode
from urllib.request import HTTPCookieProcessor, Request, build_opener

from tests.fakes.account import account_of
from tests.fakes.served import PASSWORD, served_demo

if TYPE_CHECKING:
    from pathlib import Path

SENDERS = 8
LOOK_AGAIN_SECONDS = 0.2
"""As the tablet, which does not ask in every moment how far the steps are."""


class Tablet:
    """A signed-in browser without a screen."""

    def __init__(self, address: str, name: str) -> None:
        self.address = address
        self.opener = build_opener(HTTPCookieProcessor(CookieJar()))
        page = self.get("/sign-in/").decode()
        token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page)
        assert token
        sent = {"csrfmiddlewaretoken": token[1], "username": name, "password": PASSWORD}
        self.opener.open(f"{address}/sign-in/", urlencode(sent).encode()).close()
        self.token = json.loads(self.get("/guide/token"))["token"]

    def get(self, path: str) -> bytes:
        with self.opener.open(self.address + path) as answer:
            return answer.read()

    def post(self, path: str, sent: dict[str, Any]) -> dict[str, Any]:
        headers = {"Content-Type": "application/json", "X-CSRFToken": self.token}
        data = json.dumps(sent).encode()
        request = Request(self.address + path, data, headers)  # noqa: S310
        with self.opener.open(request) as answer:
            return json.loads(answer.read())


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
