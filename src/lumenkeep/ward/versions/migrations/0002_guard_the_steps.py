"""Refuse, in the database itself, any step that a version's life does not allow."""

from __future__ import annotations

from typing import Any

from django.db import migrations

from lumenkeep.ward.versions.guards import guard, unguard


def forwards(_apps: Any, schema_editor: Any) -> None:
    guard(schema_editor.connection)


def backwards(_apps: Any, schema_editor: Any) -> None:
    unguard(schema_editor.connection)


class Migration(migrations.Migration):
    dependencies = [("policy_life", "0001_the_life_of_a_version")]

    operations = [migrations.RunPython(forwards, backwards)]
