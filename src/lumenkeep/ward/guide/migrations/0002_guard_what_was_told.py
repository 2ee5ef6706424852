"""Refuse, in the database itself, to change or delete what was told of a guide."""

from __future__ import annotations

from django.db import migrations

from lumenkeep.ward.site.guarding import guarding


class Migration(migrations.Migration):
    dependencies = [("guide", "0001_runs_and_accounts")]

    operations = [guarding("guide")]
