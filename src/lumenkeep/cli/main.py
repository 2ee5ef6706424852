"""The ``lumenkeep`` command and its subcommands."""

from __future__ import annotations

import click

from lumenkeep import __version__
from lumenkeep.cli.called import Announced, GroupOfAnnounced

COMMANDS = {
    "plan": (
        "case_commands:plan",
        "Plan one dressing change for the child in CASE (JSON or TOML; - reads input).",
    ),
    "due": (
        "case_commands:due",
        "Say what is due on the line in CASE, and when the rest will be.",
    ),
    "chart": (
        "chart_commands:chart",
        "Carry the chart in an open file, and read such a file without a database.",
    ),
    "schema": (
        "schema_command:schema",
        "Describe the files that Lumenkeep reads.",
    ),
    "policy": ("policy_commands:policy", "Look after a policy set."),
    "prove": (
        "prove_command:prove",
        "Prove SET (a shipped one, or a folder) over every child and line.",
    ),
    "compare": (
        "compare_command:compare",
        "Say where SET_A and SET_B differ, for which children, and what was compared.",
    ),
    "rehearse": (
        "rehearse_command:rehearse_command",
        (
            "Walk the procedures of SET, or one of them, and say each rule of asepsis "
            "broken."
        ),
    ),
    "demo": (
        "web_commands:demo",
        "Fill the demo wards and serve them on this machine.",
    ),
    "serve": ("web_commands:serve", "Serve the wards of this machine's chart."),
    "work": (
        "web_commands:work",
        "Work out what the pages ask for, beside servers that run by themselves.",
    ),
    "set-up": (
        "web_commands:set_up",
        "Make the wards and people that FILE names, a TOML file.",
    ),
    "determine": (
        "determine_command:determine",
        "Say which bloodstream infections in TIMELINE belong to a line, and why.",
    ),
    "dressing-life": (
        "dressing_life_command:dressing_life_command",
        "Say how many of 100 dressings in TABLE fail before a day.",
    ),
    "stats": (
        "stats_command:stats",
        "Work out the statistic NAME from its KEY=VALUE arguments.",
    ),
    "look-back": (
        "look_back_command:look_back_command",
        "Look back on the outcomes of WARD, each figure with the entries behind it.",
    ),
}
"""Each command: module and name of it, and the first sentence of its help."""


@click.group(
    cls=GroupOfAnnounced, context_settings={"help_option_names": ["-h", "--help"]}
)
@click.version_option(__version__, prog_name="lumenkeep")
def main() -> None:
    """Plan, time and chart the dressing care of children's central lines.

    Decision support: the hospital's own policy and the licensed person at the
    bedside decide.
    """


for called, (place, says) in COMMANDS.items():
    main.add_command(Announced(called, f"lumenkeep.cli.{place}", says))

if __name__ == "__main__":
    main()
