"""What a kind of long work runs in has no Django: each module loads and is asked there."""

from __future__ import annotations

import subprocess
import sys

import pytest

from lumenkeep.ward.long_work.kinds import kinds

LOADS = """
import importlib, sys
assert callable(importlib.import_module({module!r}).answer)
print(*sorted(name for name in sys.modules if name == "django.apps"))
"""


def loaded(module: str) -> str:
    """Return what of Django a module loads, in a process of its own."""
    return subprocess.run(
        [sys.executable, "-c", LOADS.format(module=module)],
        capture_output=True,
        text=True,
        check=True,
    ).stdout.strip()


@pytest.mark.parametrize("module", sorted({kind.module for kind in kinds().values()}))
def test_its_module_asks_no_table(module: str) -> None:
    assert loaded(module) == ""


def test_a_module_with_tables_is_noticed() -> None:
    with pytest.raises(subprocess.CalledProcessError):
        loaded("lumenkeep.ward.long_work.models")
