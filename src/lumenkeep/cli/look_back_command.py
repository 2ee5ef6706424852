"""``lumenkeep look-back``: the outcomes of a ward and period, from this machine's chart.

The chart lies with the web application, which works in a process of its own.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from lumenkeep.cli.case_commands import json_option
from lumenkeep.cli.web_commands import hand_over

if TYPE_CHECKING:
    from datetime import datetime

DAY = click.DateTime(["%Y-%m-%d"])


@click.command("look-back")
@click.argument("ward", metavar="WARD")
@click.option("--from", "first", type=DAY, help="First day; 90 days by default.")
@click.option("--to", "last", type=DAY, help="Last day; today by default.")
@click.option("--pdf", metavar="FILE", help="Write it as a PDF.")
@click.option("--demo", is_flag=True, help="Look at the demo wards.")
@json_option
def look_back_command(
    ward: str,
    first: datetime | None,
    last: datetime | None,
    pdf: str | None,
    demo: bool,
    as_json: bool,
) -> None:
    """Look back on the outcomes of WARD, each figure with the entries behind it.

    WARD is the ward's key. Exit code: 0, or 2 where nothing can be looked back on.
    """
    words = ["look-back", "--ward", ward]
    for name, day in (("--from", first), ("--to", last)):
        words += [name, f"{day:%Y-%m-%d}"] if day else []
    words += ["--pdf", pdf] if pdf else []
    words += [*(["--of-demo"] if demo else []), *(["--json"] if as_json else [])]
    hand_over(*words)
