"""What is stored: the tables as they are defined, and each row as it lies there."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, Any

from django.db import connection

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from tests.golden.folder import Folder

# Accounts, sessions, locks and work under way hold chance or belong to libraries.
NOT_OURS = ("auth_", "axes_", "django_", "sqlite_", "work_")
KEYS = re.compile(r"\b[cl]-[0-9a-f]{10}\b")


def tables() -> list[str]:
    """Return the names of our own tables."""
    return [
        name
        for name in connection.introspection.table_names()
        if not name.startswith(NOT_OURS)
    ]


def rows(table: str) -> list[str]:
    """Return each row of a table as a line of JSON, in the order of writing."""
    with connection.cursor() as cursor:
        cursor.execute(f'SELECT * FROM "{table}" ORDER BY rowid')  # noqa: S608  a name of ours
        names = [one[0] for one in cursor.description]
        return [
            json.dumps(
                dict(zip(names, map(_value, row), strict=True)),
                ensure_ascii=False,
                default=str,
            )
            for row in cursor.fetchall()
        ]


def _value(value: Any) -> Any:
    """Return a value; a text that is JSON as what it holds, in the order it has."""
    if isinstance(value, str) and value[:1] in ("{", "["):
        try:
            return json.loads(value)
        except ValueError:
            return value
    return value


def keys_of_the_seed() -> frozenset[str]:
    """Return the keys of children and lines that the filled hospital has."""
    return frozenset(
        key for table in tables() for row in rows(table) for key in KEYS.findall(row)
    )


def write(folder: Folder) -> None:
    """Write the tables' definitions and, a file for each table, its rows."""
    folder.text("stored/tables.sql", "\n".join(_definitions()))
    for table in tables():
        folder.text(f"stored/{table}.jsonl", "\n".join(rows(table)))


def _definitions() -> Iterator[str]:
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT type, name, tbl_name, sql FROM sqlite_master ORDER BY 1, 2"
        )
        for _kind, _name, table, sql in cursor.fetchall():
            if sql and not table.startswith(NOT_OURS):
                yield f"{sql};"


def all_rows() -> dict[str, Sequence[str]]:
    """Return every row of every table, to be held against later ones."""
    return {table: rows(table) for table in tables()}


def changes(before: dict[str, Sequence[str]]) -> Iterator[str]:
    """Yield the rows that came or went since, each with its table."""
    for table, old in before.items():
        new = rows(table)
        was, is_now = set(old), set(new)
        yield from (f"- {table} {row}" for row in old if row not in is_now)
        yield from (f"+ {table} {row}" for row in new if row not in was)
