"""Refuse, in the database itself, to change or delete what was written."""

from __future__ import annotations

from django.db import migrations

from lumenkeep.ward.site.guarding import guarding


class Migration(migrations.Migration):
    dependencies = [("chart", "0001_the_chart")]

    operations = [guarding("chart")]
