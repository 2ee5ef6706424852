"""What unit tests share: under mutation testing, nothing is remembered between tests.

The planner keeps what it has worked out for a policy. A mutant runs in a copy of a
process whose tests have all passed once, so that everything has been worked out
already and mutated code would never be called.
"""

from __future__ import annotations

import os
import sys
from typing import Any

import pytest

# Set by the mutation runner in every process in which it runs tests.
MUTATION = "MUTANT_UNDER_TEST"
# Only the reading of files is left remembered: it costs most, and it decides nothing.
READING = (
    "lumenkeep.core.policy.archive",
    "lumenkeep.core.policy.file_text",
    "lumenkeep.core.policy.files",
    "lumenkeep.core.policy.layers",
)


def remembered() -> list[Any]:
    """Return every cache of a function in the modules imported so far."""
    return [
        value
        for name, module in list(sys.modules.items())
        if name.startswith("lumenkeep.") and name not in READING
        for value in list(vars(module).values())
        if hasattr(value, "cache_clear")
    ]


@pytest.fixture(autouse=True)
def _nothing_remembered() -> None:
    """Forget what earlier tests worked out, so that each calls the code again."""
    if MUTATION in os.environ:
        for cache in remembered():
            cache.cache_clear()
