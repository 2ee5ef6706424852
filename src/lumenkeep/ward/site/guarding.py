"""Triggers that hold an app's tables to its rules, whoever writes.

They live in the database, so raw SQL and bulk updates meet them too. Most apps want no
more than `append_only`: rows stay as they were written.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.db import NotSupportedError, connections
from django.db.models.signals import post_migrate

if TYPE_CHECKING:
    from django.apps import AppConfig
    from django.db.backends.base.base import BaseDatabaseWrapper


@dataclass(frozen=True, slots=True)
class Guards:
    """The guards of one app.

    Attributes
    ----------
    app
        Label of the app.
    migration
        The migration that first set them up.
    triggers
        Name of each guard, and the rest of its ``CREATE TRIGGER``.
    tables
        The tables that are guarded.
    """

    app: str
    migration: str
    triggers: Mapping[str, str]
    tables: tuple[str, ...]

    def names(self) -> list[str]:
        """Return the names of all guards."""
        return list(self.triggers)

    def statements(self) -> list[str]:
        """Return the SQL that sets up every guard, harmless where one stands."""
        return [
            f"CREATE TRIGGER IF NOT EXISTS {name} {rest}"
            for name, rest in self.triggers.items()
        ]

    def guard(self, connection: BaseDatabaseWrapper) -> None:
        """Set up every guard.

        Raises
        ------
        NotSupportedError
            On any database but SQLite: without guards nothing must be kept.
        """
        if connection.vendor != "sqlite":
            raise NotSupportedError(
                f"the guards of '{self.app}' are written for SQLite only"
            )
        with connection.cursor() as cursor:
            for statement in self.statements():
                cursor.execute(statement)

    def unguard(self, connection: BaseDatabaseWrapper) -> None:
        """Take every guard down, as a migration backwards must."""
        with connection.cursor() as cursor:
            for name in self.triggers:
                cursor.execute(f"DROP TRIGGER IF EXISTS {name}")

    def guard_if_migrated(self, connection: BaseDatabaseWrapper) -> None:
        """Set the guards up again where their migration is in force."""
        with connection.cursor() as cursor:
            if "django_migrations" not in connection.introspection.table_names(cursor):
                return
            cursor.execute(
                "SELECT 1 FROM django_migrations WHERE app = %s AND name = %s",
                [self.app, self.migration],
            )
            in_force = cursor.fetchone() is not None
        if in_force:
            self.guard(connection)

    def stand_again_after_migrations(self, app: AppConfig) -> None:
        """Put the guards back whenever a migration has remade a table.

        SQLite remakes a table to alter it, and the triggers go with the old one.
        """

        def again(using: str, **_: Any) -> None:
            self.guard_if_migrated(connections[using])

        post_migrate.connect(again, sender=app, weak=False)


def append_only(app: str, migration: str, replaces: Mapping[str, str]) -> Guards:
    """Return guards that keep the rows of some tables as they were written.

    Parameters
    ----------
    app, migration
        As of `Guards`.
    replaces
        For each table, the condition on which a row that is there would be taken out
        by ``INSERT OR REPLACE`` of ``NEW``: that removes a row without telling its
        delete trigger, so a guard of the insert stands in its way.
    """
    triggers: dict[str, str] = {}
    for table, same in replaces.items():
        there = f"SELECT 1 FROM {table} WHERE {same}"  # noqa: S608  constants
        moments = {
            "UPDATE": f"BEFORE UPDATE ON {table}",
            "DELETE": f"BEFORE DELETE ON {table}",
            "REPLACE": f"BEFORE INSERT ON {table} WHEN EXISTS ({there})",
        }
        triggers |= {
            f"{table}_no_{verb.lower()}": f"{moment} "
            f"BEGIN SELECT RAISE(ABORT, '{table} is append-only: no {verb}'); END"
            for verb, moment in moments.items()
        }
    return Guards(app, migration, triggers, tuple(replaces))
