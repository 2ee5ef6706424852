"""A statistic that can be asked for by name, and what its parts are called."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from lumenkeep.cli.stats.arguments import Parameter
from lumenkeep.core.outcomes.statistics.interval import LEVEL, Limits

Answer = tuple[str, dict[str, Any]]


@dataclass(frozen=True, slots=True)
class Statistic:
    """A statistic: what it is about, its arguments, and the work."""

    about: str
    parameters: tuple[Parameter, ...]
    work: Callable[..., Answer]


level_option = Parameter(
    "level", "number", 0.0, 1.0, is_open=True, is_needed=False, default=LEVEL
)


def ends(limits: Limits) -> dict[str, float | None]:
    """Return limits as values."""
    return {"low": limits.low, "high": limits.high}


def shown(limits: Limits, digits: int = 4) -> str:
    """Return limits in words."""
    low = "no lower limit" if limits.low is None else f"{limits.low:.{digits}f}"
    high = "no upper limit" if limits.high is None else f"{limits.high:.{digits}f}"
    return f"{low} to {high}"


def equal_length(**lists: Any) -> None:
    """Check that lists given side by side are as long as each other.

    Raises
    ------
    ValueError
        They are not, so it is not known what belongs together.
    """
    if len({len(one) for one in lists.values()}) > 1:
        sizes = ", ".join(f"{name} has {len(one)}" for name, one in lists.items())
        raise ValueError(sizes)
