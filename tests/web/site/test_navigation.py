"""The row of a ward's pages: each link answers, and says where one is."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from django.contrib.auth.models import User
from tests.web.hospital import add_line, make_wards

from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.store.repository import ChartRepository
from lumenkeep.ward.site.pages.navigation import WARD_PAGES, WardPage

if TYPE_CHECKING:
    from django.test import Client
    from tests.fakes.clock import FixedClock

PASSWORD = "a password of some length"  # noqa: S105
ROOM = re.compile(r'<a href="([^"]+)"( aria-current="page")?>([^<]+)</a>')


@pytest.fixture
def educator(client: Client, db: None, clock: FixedClock) -> Client:
    make_wards()
    make_accounts(STAFF, PASSWORD)
    clock.at -= timedelta(days=1)
    add_line(ChartRepository(clock), clock, 1)
    clock.at += timedelta(days=1)
    client.force_login(User.objects.get(username="agate"))
    return client


def rooms_on(client: Client, path: str) -> list[tuple[str, str, str]]:
    page = client.get(path)
    assert page.status_code == 200, path
    row = page.content.decode().split('aria-label="Pages of this ward">')[1]
    return ROOM.findall(row.split("</nav>")[0])


TITLES = [room.title for room in WARD_PAGES]


@pytest.mark.parametrize("title", TITLES)
def test_every_page_of_a_ward_answers_and_says_which_one_it_is(
    educator: Client, title: str
) -> None:
    hrefs = {t: href for href, _, t in rooms_on(educator, "/ward/kestrel/")}

    links = rooms_on(educator, hrefs[title])

    assert list(hrefs) == TITLES
    assert [t for _, here, t in links if here] == [title]


@pytest.mark.parametrize("room", [room for room in WARD_PAGES if room.of_all])
def test_the_pages_of_all_wards_together_answer(
    educator: Client, room: WardPage
) -> None:
    hrefs = {t: href for href, _, t in rooms_on(educator, "/ward/all/")}

    assert educator.get(hrefs[room.title], follow=True).status_code == 200


def test_what_is_there_for_one_ward_only_is_not_linked_from_all(
    educator: Client,
) -> None:
    titles = [title for _, _, title in rooms_on(educator, "/ward/all/")]

    assert titles == [room.title for room in WARD_PAGES if room.of_all]


def test_a_page_of_no_ward_has_no_such_row(educator: Client) -> None:
    assert b"Pages of this ward" not in educator.get("/policy/").content
