"""A law of all tables: what is written once stays, whichever table holds it.

Nothing here names a table that is written once: a new one is met as soon as it is there.
"""

from __future__ import annotations

from contextlib import contextmanager
from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING, Any

import pytest
from django.apps import apps
from django.db import IntegrityError, connection, models, transaction

from lumenkeep.ward.site.guarding import GuardedConfig, guards_of
from lumenkeep.ward.site.written_once import WrittenOnce

if TYPE_CHECKING:
    from collections.abc import Iterator

pytestmark = pytest.mark.django_db

OURS = [m for m in apps.get_models() if m.__module__.startswith("lumenkeep.")]
ONCE = [model for model in OURS if issubclass(model, WrittenOnce)]
MAY_CHANGE = {
    "chart_ward": "set up again from the hospital's file",
    "chart_child": "a name is put right where it stands",
    "chart_lineplace": "says whose a line is, and nothing else",
    "chart_linenow": "worked out from entries",
    "chart_staffprofile": "set up again from the hospital's file",
    "policy_draft": "a working copy",
    "watch_open_line": "worked out from entries",
    "work_beat": "who is there now to do long work",
    "work_job": "how far long work is; its answer can be worked out again",
}
"""Every other table, and why its rows may change."""


def test_every_table_is_written_once_or_says_why_not() -> None:
    others = {m._meta.db_table for m in OURS} - {m._meta.db_table for m in ONCE}

    assert others == set(MAY_CHANGE)
    assert len(ONCE) == 10


@pytest.mark.parametrize("model", ONCE, ids=lambda m: m._meta.db_table)
def test_no_row_that_is_written_once_is_changed_or_taken_out(model) -> None:
    table = model._meta.db_table

    with a_row(model):
        for verb, statement in {
            "UPDATE": "UPDATE {} SET rowid = rowid",
            "DELETE": "DELETE FROM {}",
            "REPLACE": "INSERT OR REPLACE INTO {0} SELECT * FROM {0}",
        }.items():
            refused(model, verb, statement.format(table))


def unique_keys(model: type[WrittenOnce]) -> list[tuple[list[str], Any]]:
    alone = [([f.name], None) for f in model._meta.concrete_fields if f.unique]
    return alone + [
        (list(one.fields), one.condition)
        for one in model._meta.constraints
        if isinstance(one, models.UniqueConstraint)
    ]


@pytest.mark.parametrize(
    ("model", "key", "condition"),
    [
        pytest.param(model, *key, id=f"{model._meta.db_table}-{'-'.join(key[0])}")
        for model in ONCE
        for key in unique_keys(model)
    ],
)
def test_none_is_replaced_by_way_of_any_of_its_unique_keys(
    model, key, condition
) -> None:
    held = conditions(condition)
    shared = {f: value_of(model._meta.get_field(f), 1) for f in key} | held

    with a_row(model, **shared):
        refused(model, "REPLACE", *insertion("INSERT OR REPLACE", model, 2, shared))


@pytest.mark.parametrize("model", ONCE, ids=lambda m: m._meta.db_table)
def test_its_app_puts_the_guards_back_after_every_migration(model) -> None:
    from django.core.management import call_command

    table = model._meta.db_table
    app = apps.get_app_config(model._meta.app_label)
    assert isinstance(app, GuardedConfig)
    assert set(guards_of(app.label).names()) <= standing()
    with connection.cursor() as cursor:
        cursor.execute(f"DROP TRIGGER {table}_no_update")

    call_command("migrate", verbosity=0)

    assert f"{table}_no_update" in standing()


def standing() -> set[str]:
    with connection.cursor() as cursor:
        cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        return {name for (name,) in cursor.fetchall()}


def refused(model, verb: str, statement: str, values: tuple[Any, ...] = ()) -> None:
    says = model.stays or f"{model._meta.db_table} is append-only"
    with (
        pytest.raises(IntegrityError, match=f"{says}: no {verb}"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(statement, values)


@contextmanager
def a_row(model, **given: Any) -> Iterator[None]:
    """Hold a table with a row of no meaning, whose strangers need not be there."""
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(*insertion("INSERT", model, 1, given))
        yield
        transaction.set_rollback(True)


def insertion(
    verb: str, model, number: int, given: dict[str, Any]
) -> tuple[str, tuple[Any, ...]]:
    fields = model._meta.concrete_fields
    names = ", ".join(connection.ops.quote_name(f.column) for f in fields)
    values = tuple(
        given[f.name] if f.name in given else value_of(f, number, may_be_none=True)
        for f in fields
    )
    marks = ", ".join(["%s"] * len(values))
    return f"{verb} INTO {model._meta.db_table} ({names}) VALUES ({marks})", values


def conditions(condition: models.Q | None) -> dict[str, Any]:
    """Return the values by which a unique key with a condition holds."""
    return {
        name.removesuffix("__isnull"): None if name.endswith("__isnull") else value
        for name, value in (condition.children if condition else ())
    }


DAY = date(2026, 11, 24)
VALUES: dict[type, Any] = {
    models.DateTimeField: datetime.combine(DAY, time(8), UTC).isoformat(" "),
    models.DateField: DAY.isoformat(),
    models.TimeField: "08:00:00",
    models.JSONField: "{}",
    models.BooleanField: False,
}


def value_of(field: models.Field, number: int, *, may_be_none: bool = False) -> Any:
    if field.null and may_be_none:
        return None
    target = field.target_field if field.is_relation else field
    if isinstance(target, models.CharField | models.TextField):
        return f"key-{number}"
    return VALUES.get(type(target), number)
