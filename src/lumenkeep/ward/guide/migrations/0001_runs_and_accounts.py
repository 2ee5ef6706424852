"""Opened guides, what was told of them, and how each ended."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("chart", "0002_guard_what_was_written"),
    ]

    operations = [
        migrations.CreateModel(
            name="GuideRun",
            fields=[
                (
                    "key",
                    models.CharField(max_length=40, primary_key=True, serialize=False),
                ),
                ("procedure", models.CharField(max_length=40)),
                ("set_name", models.CharField(max_length=500)),
                ("opened_at", models.DateTimeField()),
                ("operator", models.CharField(max_length=40)),
                ("assistant", models.CharField(max_length=40, null=True)),
                ("tablet", models.CharField(blank=True, default="", max_length=80)),
                ("head", models.JSONField()),
                ("question", models.JSONField()),
                (
                    "line",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="guide_runs",
                        to="chart.lineplace",
                    ),
                ),
            ],
            options={
                "db_table": "guide_run",
                "ordering": ["-opened_at", "key"],
            },
        ),
        migrations.CreateModel(
            name="GuideClosing",
            fields=[
                (
                    "run",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        primary_key=True,
                        related_name="closing",
                        serialize=False,
                        to="guide.guiderun",
                    ),
                ),
                ("how", models.CharField(max_length=10)),
                ("at", models.DateTimeField()),
                ("by", models.CharField(max_length=40)),
                ("reason", models.TextField(blank=True, default="")),
            ],
            options={
                "db_table": "guide_closing",
            },
        ),
        migrations.CreateModel(
            name="GuideAccount",
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
                ("tablet", models.CharField(max_length=80)),
                ("received_at", models.DateTimeField()),
                ("by", models.CharField(max_length=40)),
                ("digest", models.CharField(max_length=64)),
                ("body", models.JSONField()),
                ("fate", models.CharField(max_length=10)),
                (
                    "run",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="accounts",
                        to="guide.guiderun",
                    ),
                ),
            ],
            options={
                "db_table": "guide_account",
            },
        ),
        migrations.AddIndex(
            model_name="guiderun",
            index=models.Index(fields=["line", "opened_at"], name="guide_run_on_line"),
        ),
        migrations.AddConstraint(
            model_name="guideaccount",
            constraint=models.UniqueConstraint(
                fields=("run", "digest"), name="guide_account_kept_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="guideaccount",
            constraint=models.UniqueConstraint(
                condition=models.Q(("fate", "written")),
                fields=("run",),
                name="guide_account_written_once",
            ),
        ),
    ]
