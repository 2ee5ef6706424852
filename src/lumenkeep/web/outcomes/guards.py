"""Triggers that keep hours, counts and baselines as they were entered.

They live in the database, so raw SQL and bulk updates meet them too. SQLite's
``INSERT OR REPLACE`` removes a row without telling its delete trigger; the insert
guards stand in its way.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db import NotSupportedError

if TYPE_CHECKING:
    from django.db.backends.base.base import BaseDatabaseWrapper

MIGRATION = "0002_guard_what_was_entered"
_REPLACES = {
    "outcomes_hour": "id = NEW.id",
    "outcomes_hand_count": (
        "id = NEW.id OR corrects_id = NEW.corrects_id OR submission = NEW.submission"
        ' OR (ward_id = NEW.ward_id AND "on" = NEW."on"'
        " AND corrects_id IS NULL AND NEW.corrects_id IS NULL)"
    ),
    "outcomes_baseline": (
        "id = NEW.id OR corrects_id = NEW.corrects_id OR submission = NEW.submission"
    ),
}
TABLES = tuple(_REPLACES)


def guard_statements() -> list[str]:
    """Return the SQL that sets up every guard, harmless where one stands already."""
    statements = []
    for table, same in _REPLACES.items():
        statements += [
            f"CREATE TRIGGER IF NOT EXISTS {table}_no_{verb.lower()} "
            f"BEFORE {verb} ON {table} "
            f"BEGIN SELECT RAISE(ABORT, '{table} is append-only: no {verb}'); END"
            for verb in ("UPDATE", "DELETE")
        ]
        found = f"SELECT 1 FROM {table} WHERE {same}"  # noqa: S608  constants
        statements.append(
            f"CREATE TRIGGER IF NOT EXISTS {table}_no_replace BEFORE INSERT ON {table} "
            f"WHEN EXISTS ({found}) "
            f"BEGIN SELECT RAISE(ABORT, '{table} is append-only: no REPLACE'); END"
        )
    return statements


def guard_names() -> list[str]:
    """Return the names of all guards."""
    return [
        f"{t}_no_{verb}" for t in TABLES for verb in ("update", "delete", "replace")
    ]


def guard(connection: BaseDatabaseWrapper) -> None:
    """Set up every guard.

    Raises
    ------
    NotSupportedError
        On any database but SQLite: without guards the counts must not be kept.
    """
    if connection.vendor != "sqlite":
        raise NotSupportedError("the guards of counts are written for SQLite only")
    with connection.cursor() as cursor:
        for statement in guard_statements():
            cursor.execute(statement)


def unguard(connection: BaseDatabaseWrapper) -> None:
    """Take every guard down, as a migration backwards must."""
    with connection.cursor() as cursor:
        for name in guard_names():
            cursor.execute(f"DROP TRIGGER IF EXISTS {name}")


def guard_if_migrated(connection: BaseDatabaseWrapper) -> None:
    """Set the guards up again where their migration is in force."""
    with connection.cursor() as cursor:
        if "django_migrations" not in connection.introspection.table_names(cursor):
            return
        cursor.execute(
            "SELECT 1 FROM django_migrations WHERE app = 'outcomes' AND name = %s",
            [MIGRATION],
        )
        in_force = cursor.fetchone() is not None
    if in_force:
        guard(connection)
