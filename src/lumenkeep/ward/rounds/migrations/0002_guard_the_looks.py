"""Refuse, in the database itself, any change of a look."""

from __future__ import annotations

from typing import Any

from django.db import migrations

from lumenkeep.ward.rounds.guards import GUARDS


def forwards(_apps: Any, schema_editor: Any) -> None:
    GUARDS.guard(schema_editor.connection)


def backwards(_apps: Any, schema_editor: Any) -> None:
    GUARDS.unguard(schema_editor.connection)


class Migration(migrations.Migration):
    dependencies = [("rounds", "0001_looks_of_line_rounds")]

    operations = [migrations.RunPython(forwards, backwards)]
