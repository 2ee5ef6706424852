"""Triggers that keep the rows of an app's tables as they were written.

They live in the database, so raw SQL and bulk updates meet them too. SQLite's
``INSERT OR REPLACE`` removes a row without telling its delete trigger; a guard of the
insert stands in its way.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db import NotSupportedError

if TYPE_CHECKING:
    from django.db.backends.base.base import BaseDatabaseWrapper


@dataclass(frozen=True, slots=True)
class AppendOnly:
    """The guards of one app.

    Attributes
    ----------
    app
        Label of the app.
    migration
        The migration that first set them up.
    replaces
        For each table, the condition on which a row that is there would be taken out
        by ``INSERT OR REPLACE`` of ``NEW``.
    """

    app: str
    migration: str
    replaces: Mapping[str, str]

    def names(self) -> list[str]:
        """Return the names of all guards."""
        return [
            f"{table}_no_{verb}"
            for table in self.replaces
            for verb in ("update", "delete", "replace")
        ]

    def statements(self) -> list[str]:
        """Return the SQL that sets up every guard, harmless where one stands."""
        found = []
        for table, same in self.replaces.items():
            found += [
                f"CREATE TRIGGER IF NOT EXISTS {table}_no_{verb.lower()} "
                f"BEFORE {verb} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, '{table} is append-only: no {verb}'); END"
                for verb in ("UPDATE", "DELETE")
            ]
            there = f"SELECT 1 FROM {table} WHERE {same}"  # noqa: S608  constants
            found.append(
                f"CREATE TRIGGER IF NOT EXISTS {table}_no_replace "
                f"BEFORE INSERT ON {table} WHEN EXISTS ({there}) "
                f"BEGIN SELECT RAISE(ABORT, '{table} is append-only: no REPLACE'); END"
            )
        return found

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
            for name in self.names():
                cursor.execute(f"DROP TRIGGER IF EXISTS {name}")

    def guard_if_migrated(self, connection: BaseDatabaseWrapper) -> None:
        """Set the guards up again where their migration is in force.

        SQLite remakes a table to alter it, and the triggers go with the old one.
        """
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
