"""Refuse, in the database itself, any change of what was entered."""

from __future__ import annotations

from typing import Any

from django.db import migrations

from lumenkeep.ward.outcomes.guards import guard, unguard


def forwards(_apps: Any, schema_editor: Any) -> None:
    guard(schema_editor.connection)


def backwards(_apps: Any, schema_editor: Any) -> None:
    unguard(schema_editor.connection)


class Migration(migrations.Migration):
    dependencies = [("outcomes", "0001_counts_and_baselines")]

    operations = [migrations.RunPython(forwards, backwards)]
