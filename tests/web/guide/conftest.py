"""A ward with one line, and ways back that are there at once."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from tests.fakes.ways import NoSlips
from tests.web.hospital import add_line, make_wards

from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.store.repository import ChartRepository
from lumenkeep.ward.guide.pages import open_run, prepare

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.fakes.clock import FixedClock

PASSWORD = "a password of some length"  # noqa: S105


@pytest.fixture
def ways(monkeypatch: pytest.MonkeyPatch) -> NoSlips:
    there = NoSlips()
    for module in (open_run, prepare):
        monkeypatch.setattr(module, "ways", lambda: there)
    return there


@pytest.fixture
def hospital(db: None, clock: FixedClock, ways: NoSlips) -> ChartRepository:
    make_wards()
    make_accounts(STAFF, PASSWORD)
    chart = ChartRepository(clock)
    clock.at -= timedelta(days=1)
    add_line(chart, clock, 1)
    clock.at += timedelta(days=1)
    return chart


@pytest.fixture
def signed_in(hospital: ChartRepository) -> Callable[..., Client]:
    def as_(name: str, **more: Any) -> Client:
        client = Client(**more)
        client.force_login(User.objects.get(username=name))
        return client

    return as_


@pytest.fixture
def flint(signed_in: Callable[..., Client]) -> Client:
    """A nurse of the ward on which the line lies."""
    return signed_in("flint")
