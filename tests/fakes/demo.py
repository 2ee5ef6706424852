"""The demo hospital, told once for all who only look at it."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from lumenkeep.demo.scenario import scenario

if TYPE_CHECKING:
    from datetime import datetime

    from lumenkeep.demo.hospital import Hospital


@lru_cache(maxsize=4)
def demo_at(now: datetime) -> Hospital:
    """Return the demo hospital as of an instant; nobody changes it."""
    return scenario(now)
