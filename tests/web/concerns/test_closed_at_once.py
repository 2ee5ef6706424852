"""Several people close one concern at the same moment: it is closed once."""

from __future__ import annotations

import re
import sqlite3
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING
from urllib.error import HTTPError
from urllib.parse import urlencode

from tests.fakes.on_the_wire import Tablet
from tests.fakes.served import served_demo

if TYPE_CHECKING:
    from pathlib import Path

PEOPLE = ("agate", "beryl", "agate", "beryl", "agate", "beryl")


def close(tablet: Tablet, href: str, number: int) -> int:
    """Return how the server answers a form of one's own."""
    told = {
        "outcome": "settled",
        "note": f"said by {number}",
        "submission": f"f-{number}",
    }
    sent = urlencode({**told, "csrfmiddlewaretoken": tablet.token}).encode()
    try:
        with tablet.opener.open(f"{tablet.address}{href}close/", sent) as answer:
            return int(answer.status)
    except HTTPError as error:
        return error.code


def test_who_comes_second_is_told_that_it_is_closed(
    tmp_path: Path, filled_demo: Path
) -> None:
    with served_demo(tmp_path, filled=filled_demo) as address:
        tablets = [Tablet(address, name) for name in PEOPLE]
        listed = tablets[0].get("/ward/heron/concerns/").decode()
        found = re.search(r'href="(/line/[\w-]+/concern/[^"]+/)"', listed)
        assert found
        with ThreadPoolExecutor(len(tablets)) as pool:
            numbers = range(len(tablets))
            told = list(pool.map(lambda n: close(tablets[n], found[1], n), numbers))

    # The first lands on the line's page; whoever comes later is refused in words.
    assert told.count(200) == 1, told
    with sqlite3.connect(tmp_path / "demo" / "lumenkeep.sqlite3") as database:
        rows = database.execute(
            "SELECT COUNT(*) FROM chart_entry WHERE kind = 'concern-closed' "
            "AND body LIKE '%said by %'"
        ).fetchone()
    database.close()
    assert rows == (1,)
