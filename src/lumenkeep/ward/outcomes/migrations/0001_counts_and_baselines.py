"""Hours of the count, counts by hand, and baselines."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("chart", "0002_guard_what_was_written"),
    ]

    operations = [
        migrations.CreateModel(
            name="BaselineRow",
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
                ("kind", models.CharField(max_length=20)),
                ("first", models.DateField()),
                ("last", models.DateField()),
                ("predicted", models.FloatField(null=True)),
                ("strata", models.JSONField(default=list)),
                ("source", models.CharField(max_length=300)),
                ("by", models.CharField(max_length=40)),
                ("written_at", models.DateTimeField()),
                ("submission", models.CharField(max_length=80, unique=True)),
                (
                    "corrects",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="corrected_by",
                        to="outcomes.baselinerow",
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
                "db_table": "outcomes_baseline",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("source", ""), _negated=True),
                        name="outcomes_baseline_sourced",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("first__lte", models.F("last"))),
                        name="outcomes_baseline_in_order",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="HandCount",
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
                ("on", models.DateField()),
                ("children", models.PositiveSmallIntegerField()),
                ("with_line", models.PositiveSmallIntegerField()),
                ("temporary", models.PositiveSmallIntegerField(null=True)),
                ("permanent", models.PositiveSmallIntegerField(null=True)),
                ("strata", models.JSONField(default=dict)),
                ("note", models.CharField(blank=True, default="", max_length=300)),
                ("by", models.CharField(max_length=40)),
                ("written_at", models.DateTimeField()),
                ("submission", models.CharField(max_length=80, unique=True)),
                (
                    "corrects",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="corrected_by",
                        to="outcomes.handcount",
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
                "db_table": "outcomes_hand_count",
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("corrects__isnull", True)),
                        fields=("ward", "on"),
                        name="outcomes_counted_once",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("with_line__lte", models.F("children"))),
                        name="outcomes_no_more_lines_than_children",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="WardHour",
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
                ("starts_on", models.DateField()),
                ("hour", models.TimeField()),
                ("unit", models.CharField(max_length=20)),
                ("source", models.CharField(max_length=300)),
                ("by", models.CharField(max_length=40)),
                ("written_at", models.DateTimeField()),
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
                "db_table": "outcomes_hour",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("source", ""), _negated=True),
                        name="outcomes_hour_sourced",
                    )
                ],
            },
        ),
    ]
