"""Triggers that keep rows as they were written, whoever asks.

They live in the database, so raw SQL and bulk updates meet them too. What they say is
read off the tables themselves (`written_once`): a new table is guarded by its base, a
new unique key by being one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

from django.apps import AppConfig, apps
from django.db import NotSupportedError, connections
from django.db.migrations import RunPython
from django.db.models import UniqueConstraint
from django.db.models.signals import post_migrate

if TYPE_CHECKING:
    from collections.abc import Iterator

    from django.db.backends.base.base import BaseDatabaseWrapper
    from django.db.models import Q

    from lumenkeep.ward.site.written_once import WrittenOnce

_WORDS_OF_SQL = frozenset({"from", "group", "on", "order", "to"})
"""Words that a column may bear all the same; then it is quoted."""


class GuardedConfig(AppConfig):
    """An app with tables whose rows are written once.

    Name it by this module (``guarding.GuardedConfig``): Django takes each configuration
    that ``apps`` names for one of the app's own.

    Attributes
    ----------
    guarded_by
        Its migration that first set the guards up, by `guarding`.
    """

    guarded_by: ClassVar[str]

    def ready(self) -> None:
        """Put the guards back whenever a migration has remade a table.

        SQLite remakes a table to alter it, and the triggers go with the old one.
        """
        post_migrate.connect(_again, sender=self)


def _again(app_config: GuardedConfig, using: str, **_: Any) -> None:
    guards_of(app_config.label).guard_if_migrated(connections[using])


def guarding(app: str) -> RunPython:
    """Return the operation that sets an app's guards up, and backwards takes them down.

    Parameters
    ----------
    app
        Label of the app.
    """
    return RunPython(
        lambda _, editor: guards_of(app).guard(editor.connection),
        lambda _, editor: guards_of(app).unguard(editor.connection),
    )


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

    def guard(self, connection: BaseDatabaseWrapper) -> None:
        """Set up every guard, harmless where one stands.

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
            for name, rest in self.triggers.items():
                cursor.execute(f"CREATE TRIGGER IF NOT EXISTS {name} {rest}")

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


def guards_of(app: str) -> Guards:
    """Return the guards of an app, by its label, from its tables as they are."""
    # The tables know of Django's models, and apps are named before there are any.
    from lumenkeep.ward.site.written_once import WrittenOnce

    config = apps.get_app_config(app)
    kept = [model for model in config.get_models() if issubclass(model, WrittenOnce)]
    triggers: dict[str, str] = {}
    for model in kept:
        triggers |= _triggers(model)
    migration: str = getattr(config, "guarded_by", "")
    return Guards(app, migration, triggers, tuple(m._meta.db_table for m in kept))


def _triggers(model: type[WrittenOnce]) -> dict[str, str]:
    """Return the guards of one table: no change, nothing taken out, and its own.

    ``INSERT OR REPLACE`` takes a row out without telling the delete trigger, so a
    guard of the insert stands in its way.
    """
    table = model._meta.db_table
    there = f"SELECT 1 FROM {table} WHERE {' OR '.join(_same(model))}"  # noqa: S608  names of columns
    moments = {
        "UPDATE": f"BEFORE UPDATE ON {table}",
        "DELETE": f"BEFORE DELETE ON {table}",
        "REPLACE": f"BEFORE INSERT ON {table} WHEN EXISTS ({there})",
    }
    says = model.stays or f"{table} is append-only"
    return {
        f"{table}_no_{verb.lower()}": f"{moment} "
        f"BEGIN SELECT RAISE(ABORT, '{says}: no {verb}'); END"
        for verb, moment in moments.items()
    } | dict(model.more_guards)


def _same(model: type[WrittenOnce]) -> Iterator[str]:
    """Yield on what conditions a row would take the place of one that is there."""
    fields = model._meta.concrete_fields
    columns = {field.name: str(field.column) for field in fields}
    yield from (_equal(columns[field.name]) for field in fields if field.unique)
    for one in model._meta.constraints:
        if isinstance(one, UniqueConstraint):
            parts = [_equal(columns[name]) for name in one.fields]
            parts += _both(one.condition, columns) if one.condition else []
            yield f"({' AND '.join(parts)})"


def _equal(column: str) -> str:
    name = f'"{column}"' if column in _WORDS_OF_SQL else column
    return f"{name} = NEW.{name}"


def _both(condition: Q, columns: Mapping[str, str]) -> list[str]:
    """Return a condition of a unique key, of the row there and of the new one.

    Raises
    ------
    NotImplementedError
        The condition is none of the two plain ones that are in use.
    """
    said: list[str] = []
    for part in condition.children:
        name, value = part if isinstance(part, tuple) else ("", None)
        column = columns.get(name.removesuffix("__isnull"))
        if column and name.endswith("__isnull") and value is True:
            said += [f"{column} IS NULL", f"NEW.{column} IS NULL"]
        elif column and isinstance(value, str) and "'" not in value:
            said += [f"{column} = '{value}'", f"NEW.{column} = '{value}'"]
        else:
            raise NotImplementedError(f"no guard is written for {condition}")
    return said
