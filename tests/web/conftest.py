"""Django is set up before the modules here import its models; one clock for all."""

from __future__ import annotations

import django
import pytest
from tests.fakes.clock import FixedClock

django.setup()


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> FixedClock:
    """The clock of every page; it stands still until a test moves it."""
    from lumenkeep.ward.chart.pages import context

    still = FixedClock()
    monkeypatch.setattr(context, "SystemClock", lambda: still)
    return still
