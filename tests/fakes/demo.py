"""The demo hospital, told once for all who only look at it."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from lumenkeep.core.model.times import utc
from lumenkeep.demo.scenario import scenario
from lumenkeep.demo.stories import stories

if TYPE_CHECKING:
    from datetime import datetime

    from lumenkeep.demo.hospital import Hospital


@lru_cache(maxsize=4)
def demo_at(now: datetime) -> Hospital:
    """Return the demo hospital as of an instant; nobody changes it."""
    return scenario(now)


def story_lines(hospital: Hospital, now: datetime) -> dict[str, tuple[str, ...]]:
    """Return the line keys of each story by its name."""
    told = stories(utc(now))
    of_child: dict[str, list[str]] = {}
    for line in hospital.lines:
        of_child.setdefault(line.child, []).append(line.key)
    return {
        child.story: tuple(of_child[demo.key])
        for child, demo in zip(told, hospital.children, strict=False)
    }
