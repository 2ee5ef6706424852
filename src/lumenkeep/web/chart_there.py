"""Whether there is a chart in the data folder, and of this version: to read it as it is."""

from __future__ import annotations

import os

from lumenkeep.ward.site.data_folder import FOLDER_VARIABLE, data_folder
from lumenkeep.web.run import DEMO_FOLDER, DEMO_VARIABLE


def choose_folder(*, of_demo: bool) -> None:
    """Settle the data folder: that of the demo wards, or the one there is."""
    if of_demo:
        os.environ[FOLDER_VARIABLE] = str(data_folder() / DEMO_FOLDER)
        os.environ[DEMO_VARIABLE] = "1"


def is_there() -> bool:
    """Return whether the folder holds a chart; to ask makes none."""
    return (data_folder() / "lumenkeep.sqlite3").exists()


def is_current() -> bool:
    """Return whether its tables are of this version; Django must be set up."""
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    executor = MigrationExecutor(connection)
    return not executor.migration_plan(executor.loader.graph.leaf_nodes())
