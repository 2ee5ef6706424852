"""All that the golden record needs of `lumenkeep` by name; a move changes this alone.

The rest is asked from outside: commands as a person types them, pages by their address,
tables through the database.
"""

from __future__ import annotations

import os

from lumenkeep.cli.main import main
from lumenkeep.core.policy import load_policy, shipped_sets

__all__ = [
    "PACKAGE", "PASSWORD", "fill", "load_policy", "main", "shipped_sets",
    "wait_for_ways_back",
]  # fmt: skip

PACKAGE = "lumenkeep"
PASSWORD = "demo-only-quillmere"  # noqa: S105  printed at every start of the demo


def fill() -> None:
    """Fill the demo hospital in the data folder of the environment; make Django ready."""
    from lumenkeep.web.run import prepare_demo

    prepare_demo(lambda _: None)


def wait_for_ways_back() -> None:
    """Let ways back be worked out to the end, however busy the machine is."""
    from lumenkeep.ward.long_work.supervisor import Supervisor

    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.golden.patient_settings"
    Supervisor().start()


if __name__ == "__main__":
    main()
