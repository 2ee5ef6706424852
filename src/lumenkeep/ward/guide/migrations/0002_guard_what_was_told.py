"""Refuse, in the database itself, to change or delete what was told of a guide."""

from __future__ import annotations

from typing import Any

from django.db import migrations

from lumenkeep.ward.guide.guards import guard, unguard


def forwards(_apps: Any, schema_editor: Any) -> None:
    guard(schema_editor.connection)


def backwards(_apps: Any, schema_editor: Any) -> None:
    unguard(schema_editor.connection)


class Migration(migrations.Migration):
    dependencies = [("guide", "0001_runs_and_accounts")]

    operations = [migrations.RunPython(forwards, backwards)]
