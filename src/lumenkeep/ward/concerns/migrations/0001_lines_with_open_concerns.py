"""Which lines may have an open concern."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("chart", "0002_guard_what_was_written"),
    ]

    operations = [
        migrations.CreateModel(
            name="OpenLineRow",
            fields=[
                (
                    "line",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="+",
                        serialize=False,
                        to="chart.lineplace",
                    ),
                ),
                ("last_entry", models.BigIntegerField()),
                (
                    "ward",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to="chart.ward",
                    ),
                ),
            ],
            options={"db_table": "watch_open_line"},
        ),
    ]
