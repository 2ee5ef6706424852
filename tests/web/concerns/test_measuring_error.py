"""The page on measuring error: what two people measured, beside what the policy uses."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from django.contrib.auth.models import User
from tests.web.hospital import add_line, make_wards

from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.chart.store.repository import ChartRepository

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client
    from tests.fakes.clock import FixedClock

PASSWORD = "a password of some length"  # noqa: S105
ARM = "at the side"
MINUTE = timedelta(minutes=1)


@pytest.fixture
def chart(db: None, clock: FixedClock) -> ChartRepository:
    make_wards()
    make_accounts(STAFF, PASSWORD)
    found = ChartRepository(clock)
    add_line(found, clock, 1)
    return found


@pytest.fixture
def read(client: Client, chart: ChartRepository) -> Callable[..., tuple[int, str]]:
    def read_as(name: str, ward: str = "kestrel") -> tuple[int, str]:
        client.force_login(User.objects.get(username=name))
        answer = client.get(f"/measuring-error/{ward}/")
        text = re.sub(r"<[^>]+>", " ", answer.content.decode())
        return answer.status_code, re.sub(r"\s+", " ", text)

    return read_as


def measure_twice(chart: ChartRepository, clock: FixedClock, pairs) -> None:
    for number, (one, two) in enumerate(pairs):
        at = clock.at - timedelta(hours=2 * number + 3)
        for by, mm, when in (("s-1", one, at), ("s-2", two, at + 5 * MINUTE)):
            body = {"external_length_mm": mm, "arm": ARM}
            draft = Draft("c-1", "l-1", "site-check", when, by, body)
            chart.append([draft], "quillmere")


def test_without_pairs_it_says_how_to_find_the_error(read) -> None:
    code, text = read("agate")

    assert code == 200
    assert "No line is charted as measured by two people within 60 minutes." in text
    assert "The policy goes by 2 mm (common practice: no document gives one)." in text
    assert "without seeing the first one’s number" in text


def test_pairs_give_the_error_with_limits_beside_the_policys(
    read, chart, clock
) -> None:
    measure_twice(chart, clock, [(20, 22), (21, 19), (20, 20), (22, 21)])
    _, text = read("agate")

    assert re.search(
        r"One measurement is off by 1\.1 mm \(0\.6 to 3\.0 mm\), by 4 pairs", text
    )
    assert "That lies within the limits." in text
    assert "These are few" in text


def test_it_is_linked_from_the_life_of_dressings(client, read) -> None:
    read("agate")

    page = client.get("/dressing-life/kestrel/").content.decode()
    assert 'href="/measuring-error/kestrel/"' in page


def test_a_ward_that_is_not_ones_own_is_refused(read) -> None:
    assert read("flint", "heron")[0] == 403
    assert read("agate", "no-such-ward")[0] == 404
