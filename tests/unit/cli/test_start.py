"""A command loads what it needs: nobody waits for the web, a solver or a printer."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from lumenkeep.cli.main import main

if TYPE_CHECKING:
    from lumenkeep.cli.called import Announced

EXAMPLES = Path(__file__).parents[3] / "docs" / "examples"
AT = ("--at", "2026-11-24T08:00:00-06:00")
HEAVY = {"django", "numpy", "scipy", "z3", "networkx", "typst"}
HEAVY |= {"django_tasks", "django_tasks_db"}
CALLED_BY_A_SHELL = """
import sys
from lumenkeep.cli.main import main
try:
    main(sys.argv[1:], "lumenkeep")
finally:
    sys.stdout.flush()
    sys.stderr.write("\\n".join({name.partition(".")[0] for name in sys.modules}))
"""


def loaded_by(*words: str) -> set[str]:
    """Return the top packages that a command has loaded when it ends."""
    done = subprocess.run(
        [sys.executable, "-c", CALLED_BY_A_SHELL, *words],
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout
    return set(done.stderr.split())


@pytest.mark.parametrize(
    "words",
    [
        ("--help",),
        ("plan", "--help"),
        ("plan", str(EXAMPLES / "demo-27-weeker.json"), *AT),
        ("plan", str(EXAMPLES / "demo-six-year-old.toml"), *AT, "--json"),
        ("due", str(EXAMPLES / "demo-27-weeker.json"), *AT),
    ],
    ids=" ".join,
)
def test_a_quick_command_loads_nothing_heavy(words: tuple[str, ...]) -> None:
    assert loaded_by(*words) & HEAVY == set()


def test_help_loads_no_command() -> None:
    code = (
        "import sys; from lumenkeep.cli.main import main; "
        "main(['--help'], standalone_mode=False); "
        "print([m for m in sys.modules if m.startswith('lumenkeep.core')])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )

    assert done.stdout.endswith("[]\n")


@pytest.mark.parametrize("announced", main.commands.values(), ids=lambda one: one.name)
def test_a_command_is_announced_by_its_own_first_sentence(announced: Announced) -> None:
    command = announced.loaded()
    assert command.help
    first = " ".join(command.help.split("\n\n")[0].split())

    assert announced.help == first
    assert announced.name == command.name
    for limit in (20, 45, 62, 200):
        assert announced.get_short_help_str(limit) == command.get_short_help_str(limit)
