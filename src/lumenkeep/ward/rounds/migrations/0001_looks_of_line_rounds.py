"""The looks of line rounds."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("chart", "0002_guard_what_was_written"),
    ]

    operations = [
        migrations.CreateModel(
            name="LookRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True,
                        primary_key=True,
                        serialize=False,
                        verbose_name="ID",
                    ),
                ),
                ("at", models.DateTimeField(db_index=True)),
                ("written_at", models.DateTimeField()),
                ("observer", models.CharField(max_length=40)),
                ("from_unit", models.BooleanField()),
                ("observed", models.CharField(blank=True, default="", max_length=40)),
                ("answers", models.JSONField()),
                ("note", models.TextField(blank=True, default="")),
                ("policy", models.CharField(max_length=64)),
                ("submission", models.CharField(max_length=80, unique=True)),
                (
                    "corrects",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="corrected_by",
                        to="rounds.lookrow",
                    ),
                ),
                (
                    "line",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="chart.lineplace",
                    ),
                ),
                (
                    "ward",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="chart.ward",
                    ),
                ),
            ],
            options={
                "db_table": "rounds_look",
            },
        ),
    ]
