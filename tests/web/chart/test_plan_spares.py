"""The spares on the page of a change plan: fetched once, then part of the page."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from django.contrib.auth.models import User
from tests.web.hospital import add_line, make_wards

from lumenkeep.core.recovery.plan_spares import forget_regions
from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.store.repository import ChartRepository

if TYPE_CHECKING:
    from pathlib import Path

    from django.test import Client
    from tests.fakes.clock import FixedClock

PASSWORD = "a password of some length"  # noqa: S105
ENOUGH = "With these, no single slip sends anyone out of the room."


@pytest.fixture
def nurse(
    client: Client,
    db: None,
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    clock: FixedClock,
) -> Client:
    monkeypatch.setenv("LUMENKEEP_DATA", str(tmp_path))
    forget_regions()
    make_wards()
    make_accounts(STAFF, PASSWORD)
    clock.at -= timedelta(days=1)
    add_line(ChartRepository(clock), clock, 1)
    clock.at += timedelta(days=1)
    client.force_login(User.objects.get(username="agate"))
    return client


def test_the_plan_does_not_wait_for_its_spares(nurse: Client) -> None:
    first = nurse.get("/line/l-1/plan/", {"with": "s-chalk"}).content.decode()
    [href] = re.findall(r'hx-get="([^"]+)"', first)
    part = nurse.get(href).content.decode()
    then = nurse.get("/line/l-1/plan/", {"with": "s-chalk"}).content.decode()

    assert href == "/line/l-1/plan/spares/?with=s-chalk"
    assert ENOUGH not in first
    assert ENOUGH in part
    assert "<html" not in part
    assert ENOUGH in then
    assert "hx-get" not in then


def test_each_spare_says_why_and_what_it_buys_with_what_is_assumed(
    nurse: Client,
) -> None:
    part = nurse.get("/line/l-1/plan/spares/").content.decode()

    assert "Spares, to lay out as well" in part
    assert re.search(r"<b>1 ×</b> Sterile gloves for the operator, pairs", part)
    assert "If a sterile glove touches bed, own mask" in part
    assert "slips covered with each further one" in part
    assert "How often each slip happens is assumed" in part


def test_the_spares_of_a_line_not_in_place_are_not_there(nurse: Client) -> None:
    assert nurse.get("/line/l-9/plan/spares/").status_code == 404
    assert nurse.post("/line/l-1/plan/spares/").status_code == 405


def test_who_is_not_signed_in_is_sent_to_sign_in(nurse: Client) -> None:
    nurse.logout()

    assert nurse.get("/line/l-1/plan/spares/").status_code == 302
