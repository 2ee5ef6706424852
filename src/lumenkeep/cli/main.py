"""The ``lumenkeep`` command and its subcommands."""

from __future__ import annotations

import click

from lumenkeep import __version__
from lumenkeep.cli.case_commands import due, plan
from lumenkeep.cli.chart_commands import chart
from lumenkeep.cli.compare_command import compare
from lumenkeep.cli.determine_command import determine
from lumenkeep.cli.dressing_life_command import dressing_life_command
from lumenkeep.cli.look_back_command import look_back_command
from lumenkeep.cli.policy_commands import policy
from lumenkeep.cli.prove_command import prove
from lumenkeep.cli.rehearse_command import rehearse_command
from lumenkeep.cli.schema_command import schema
from lumenkeep.cli.stats_command import stats
from lumenkeep.cli.web_commands import demo, serve, set_up


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="lumenkeep")
def main() -> None:
    """Plan, time and chart the dressing care of children's central lines.

    Decision support: the hospital's own policy and the licensed person at the
    bedside decide.
    """


for command in (
    plan,
    due,
    chart,
    schema,
    policy,
    prove,
    compare,
    rehearse_command,
    demo,
    serve,
    set_up,
    determine,
    dressing_life_command,
    stats,
    look_back_command,
):
    main.add_command(command)

if __name__ == "__main__":
    main()
