"""Refuse, in the database itself, any step that a version's life does not allow."""

from __future__ import annotations

from django.db import migrations

from lumenkeep.ward.site.guarding import guarding


class Migration(migrations.Migration):
    dependencies = [("policy_life", "0001_the_life_of_a_version")]

    operations = [guarding("policy_life")]
