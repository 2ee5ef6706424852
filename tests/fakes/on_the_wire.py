"""A signed-in sender that talks to a really served demo, without a browser."""

from __future__ import annotations

import json
import re
from http.cookiejar import CookieJar
from typing import Any
from urllib.parse import urlencode
from urllib.request import HTTPCookieProcessor, Request, build_opener

from tests.fakes.served import PASSWORD


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
