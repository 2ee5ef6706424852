"""Refuse, in the database itself, any change of a look."""

from __future__ import annotations

from django.db import migrations

from lumenkeep.ward.site.guarding import guarding


class Migration(migrations.Migration):
    dependencies = [("rounds", "0001_looks_of_line_rounds")]

    operations = [guarding("rounds")]
