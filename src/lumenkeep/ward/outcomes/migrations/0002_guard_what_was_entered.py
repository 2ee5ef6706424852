"""Refuse, in the database itself, any change of what was entered."""

from __future__ import annotations

from django.db import migrations

from lumenkeep.ward.site.guarding import guarding


class Migration(migrations.Migration):
    dependencies = [("outcomes", "0001_counts_and_baselines")]

    operations = [guarding("outcomes")]
