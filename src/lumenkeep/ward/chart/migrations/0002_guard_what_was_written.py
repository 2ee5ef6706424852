"""Refuse, in the database itself, to change or delete what was written."""

from __future__ import annotations

from typing import Any

from django.db import migrations

from lumenkeep.ward.chart.guards import guard, unguard


def forwards(_apps: Any, schema_editor: Any) -> None:
    guard(schema_editor.connection)


def backwards(_apps: Any, schema_editor: Any) -> None:
    unguard(schema_editor.connection)


class Migration(migrations.Migration):
    dependencies = [("chart", "0001_the_chart")]

    operations = [migrations.RunPython(forwards, backwards)]
