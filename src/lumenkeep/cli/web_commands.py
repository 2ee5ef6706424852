"""``lumenkeep demo``, ``serve``, ``work`` and ``set-up``: start the web application.

The web application lives in a process of its own: no command needs it loaded.
"""

from __future__ import annotations

import os
import sys

import click

PORT = 8017


def hand_over(*words: str) -> None:
    """Become the process of the web application, started with these words."""
    sys.stdout.flush()
    os.execv(sys.executable, [sys.executable, "-m", "lumenkeep.web", *words])  # noqa: S606  our own module


@click.command()
@click.option("--port", default=PORT, show_default=True, help="Port on 127.0.0.1.")
@click.option("--fresh", is_flag=True, help="Fill the demo wards anew.")
def demo(port: int, fresh: bool) -> None:
    """Fill the demo wards and serve them on this machine."""
    hand_over("demo", "--port", str(port), *(["--fresh"] if fresh else []))


@click.command()
@click.option("--port", default=PORT, show_default=True, help="Port on 127.0.0.1.")
def serve(port: int) -> None:
    """Serve the wards of this machine's chart."""
    hand_over("serve", "--port", str(port))


@click.command()
@click.option("--demo", is_flag=True, help="Of the demo wards.")
def work(demo: bool) -> None:
    """Work out what the pages ask for, beside servers that run by themselves.

    `serve` and `demo` do so by themselves. Start it again whenever it ends, and as
    many as you like: none does what another does.
    """
    hand_over("work", *(["--of-demo"] if demo else []))


@click.command("set-up")
@click.argument("file", type=click.Path(dir_okay=False))
def set_up(file: str) -> None:
    """Make the wards and people that FILE names, a TOML file.

    Run it again after every change of the file: what is there is brought up to date,
    and new people get a password that is printed once.
    """
    hand_over("set-up", "--file", file)
