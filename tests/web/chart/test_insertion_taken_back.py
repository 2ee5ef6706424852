"""An insertion charted by mistake is taken back; a wrong one is corrected."""

from __future__ import annotations

import re

import pytest
from django.contrib.auth.models import User
from tests.web.hospital import hospital_with_a_line

from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.models import EntryRow

pytestmark = pytest.mark.django_db


@pytest.fixture
def educator(client, clock):
    hospital_with_a_line(clock)
    make_accounts(STAFF, "demo-demo-demo")
    client.force_login(User.objects.get(username="agate"))
    return client


def _insertion() -> int:
    return EntryRow.objects.get(kind="line-inserted").pk


def test_a_wrong_site_is_corrected_by_hand(educator) -> None:
    path = f"/line/l-1/entry/{_insertion()}/correct/"
    page = educator.get(path).content.decode()
    assert "Correct: line put in" in page
    sent = {
        "do": "chart", "submission": "f-1", "kind": "picc", "site": "lower-leg",
        "inserted-at": "2026-11-14T08:00",
    }  # fmt: skip
    answer = educator.post(path, sent)

    assert answer.status_code == 302, answer.content.decode()
    assert "ower leg" in educator.get("/line/l-1/").content.decode()


def test_an_insertion_by_mistake_leaves_the_ward_and_keeps_its_story(educator) -> None:
    path = f"/line/l-1/entry/{_insertion()}/correct/"
    sent = {"do": "withdraw", "submission": "f-2", "because-wrong": "another child"}
    answer = educator.post(path, sent)

    assert answer.status_code == 302
    page = educator.get("/line/l-1/").content.decode()
    assert "Its insertion was charted by mistake and taken back." in page
    assert "another child" in page
    assert "/line/l-1/" not in educator.get("/ward/kestrel/").content.decode()


def test_it_is_told_when_an_entry_was_taken_back_and_not_of_when_it_spoke(
    educator,
) -> None:
    """The insertion was charted as of five days before."""
    path = f"/line/l-1/entry/{_insertion()}/correct/"
    sent = {"do": "withdraw", "submission": "f-2", "because-wrong": "another child"}
    answer = educator.post(path, sent)

    said = educator.get(answer["Location"]).content.decode()
    back = EntryRow.objects.get(kind="withdrawn")
    assert back.written_at.date() != back.happened_at.date()
    assert re.search(r"On the chart: [a-z ]*taken back, today 12:00\.", said)
    row = said.split(f'id="entry-{back.pk}"')[1].split("</li>")[0]
    assert '<span class="clock">12:00</span>' in row
    assert ", written " not in row
