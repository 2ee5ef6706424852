"""Bring the web application up: tables, demo hospital, server.

Django is imported inside the functions, because the data folder must be settled
before the settings are read.
"""

from __future__ import annotations

import os
import shutil
import sys
from typing import TYPE_CHECKING, Any

from lumenkeep.ward.long_work.supervisor import Supervisor
from lumenkeep.ward.site.data_folder import (
    FOLDER_VARIABLE,
    data_folder,
    keep_secret_key,
    make_data_folder,
)

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

SETTINGS = "lumenkeep.web.settings"
THREADS = 4
HOST = "127.0.0.1"
DEMO_FOLDER = "demo"
DEMO_VARIABLE = "LUMENKEEP_DEMO"


def say_on_stderr(text: str) -> None:
    """Show one line of progress, in place where a person is watching."""
    if sys.stderr.isatty():
        sys.stderr.write(f"\r\033[K{text}")
    else:
        sys.stderr.write(f"{text}\n")
    sys.stderr.flush()


def migrate() -> None:
    """Bring the tables up to date; quick where they are."""
    set_up()
    from django.core.management import call_command
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    executor = MigrationExecutor(connection)
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        call_command("migrate", interactive=False, verbosity=0)


def demo(
    port: int, *, fresh: bool = False, say: Callable[[str], None] = say_on_stderr
) -> None:
    """Serve the invented hospital, filled at the first start; never returns.

    Parameters
    ----------
    port
        On this machine only.
    fresh
        Forget the invented hospital and fill it anew, as of today.
    say
        Told how far a first start is.
    """
    folder = data_folder() / DEMO_FOLDER
    os.environ[FOLDER_VARIABLE] = str(folder)
    os.environ[DEMO_VARIABLE] = "1"
    if fresh:
        forget_demo(folder)
    prepare_demo(say)
    _serve(port, _demo_banner(port))


def prepare_demo(say: Callable[[str], None]) -> None:
    """Make the tables and fill the demo hospital, where that is still to be done."""
    migrate()
    from lumenkeep.demo.fill import fill_demo, is_filled
    from lumenkeep.ward.chart.store.repository import SystemClock

    if not is_filled():
        say("Filling the demo hospital ...")
        lines = fill_demo(SystemClock().now(), say)
        say(f"Filled: {lines} lines on three wards.\n")
    note_policies(say)


def note_policies(say: Callable[[str], None]) -> None:
    """Put each ward's policy on record as it stands now, so a replay can find it."""
    from lumenkeep.errors import PolicyError
    from lumenkeep.ward.chart.models import Ward
    from lumenkeep.ward.chart.store.policies import record_version
    from lumenkeep.ward.chart.store.repository import SystemClock

    now = SystemClock().now()
    for name in sorted(set(Ward.objects.values_list("policy_set", flat=True))):
        try:
            record_version(name, now)
        except PolicyError as error:
            say(f"The policy set '{name}' cannot be used:\n{error}\n")


def forget_demo(folder: Path) -> None:
    """Remove the demo's database, and nothing else."""
    for name in ("lumenkeep.sqlite3", "lumenkeep.sqlite3-wal", "lumenkeep.sqlite3-shm"):
        (folder / name).unlink(missing_ok=True)


def serve(port: int) -> None:
    """Serve the hospital's own data; never returns."""
    migrate()
    note_policies(say_on_stderr)
    _serve(port, f"Lumenkeep: http://{HOST}:{port}\nData: {data_folder()}\n")


def set_up() -> None:
    """Make Django ready for the data folder that is settled by now."""
    make_data_folder()
    keep_secret_key()
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", SETTINGS)
    import django

    django.setup()


def _demo_banner(port: int) -> str:
    from lumenkeep.demo.fill import DEMO_PASSWORD, demo_accounts

    width = shutil.get_terminal_size().columns
    rows = [f"  {name:<10}{role}, {ward}" for name, role, ward in demo_accounts()]
    return "\n".join(
        row[:width]
        for row in (
            f"Lumenkeep demo: http://{HOST}:{port}",
            "Everybody and everything in it is invented.",
            f"Sign in with the password {DEMO_PASSWORD} as one of",
            *rows,
            "Ctrl-C stops it. lumenkeep demo --fresh fills it anew.",
            "",
        )
    )


def _serve(port: int, banner: str) -> None:
    from django.db import connections
    from gunicorn.app.base import BaseApplication

    # The server's process is a fork: it must open the database for itself.
    connections.close_all()

    class Server(BaseApplication):  # type: ignore[misc]  # gunicorn ships no types
        """One process with a few threads: SQLite and a ward need no more."""

        def load_config(self) -> None:
            for name, value in _server_settings(port, banner).items():
                # An older server lacks some of them, and needs them less.
                if name in self.cfg.settings:
                    self.cfg.set(name, value)

        def load(self) -> Any:
            from lumenkeep.web.wsgi import application

            return application

    Server().run()


def _server_settings(port: int, banner: str) -> dict[str, Any]:
    def ready(_server: object) -> None:
        sys.stdout.write(banner)
        sys.stdout.flush()

    supervisor = Supervisor()
    return {
        "bind": f"{HOST}:{port}",
        "workers": 1,
        "threads": THREADS,
        "worker_class": "gthread",
        "graceful_timeout": 5,
        "when_ready": ready,
        # In the server's own process, so that it ends with it and is begun again with it.
        "post_worker_init": lambda _: supervisor.start(),
        "worker_exit": lambda _server, _process: supervisor.stop(),
        "loglevel": "warning",
        "control_socket_disable": True,
    }
