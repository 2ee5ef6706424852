"""How large a benchmark runs: as it is measured, or small, to see that it still runs.

``LUMENKEEP_BENCH=small``, which ``make bench-small`` sets, also reaches the processes
that a benchmark starts. Figures of a small run mean nothing.
"""

from __future__ import annotations

import os
from typing import TypeVar

T = TypeVar("T")
IS_SMALL = os.environ.get("LUMENKEEP_BENCH") == "small"


def sized(full: T, *, small: T) -> T:
    """Return the size to run at."""
    return small if IS_SMALL else full
