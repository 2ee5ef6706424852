"""Drafts of policies, and the steps of each version's life."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("chart", "0002_guard_what_was_written"),
    ]

    operations = [
        migrations.CreateModel(
            name="PolicyDraft",
            fields=[
                (
                    "key",
                    models.CharField(max_length=40, primary_key=True, serialize=False),
                ),
                ("title", models.CharField(max_length=200)),
                ("set_id", models.CharField(max_length=80)),
                ("below", models.JSONField()),
                ("files", models.JSONField()),
                ("revision", models.PositiveIntegerField(default=1)),
                ("editors", models.JSONField(default=list)),
                ("edited_by", models.CharField(max_length=40)),
                ("edited_at", models.DateTimeField()),
                ("is_open", models.BooleanField(default=True)),
                (
                    "base",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="drafts",
                        to="chart.policyversion",
                    ),
                ),
            ],
            options={
                "db_table": "policy_draft",
                "ordering": ["-edited_at", "key"],
            },
        ),
        migrations.CreateModel(
            name="PolicyStep",
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
                ("by", models.CharField(max_length=40)),
                ("at", models.DateTimeField()),
                ("starts_at", models.DateTimeField(null=True)),
                ("note", models.TextField(blank=True, default="")),
                ("body", models.JSONField(default=dict)),
                (
                    "calls_off",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="called_off_by",
                        to="policy_life.policystep",
                    ),
                ),
                (
                    "version",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="steps",
                        to="chart.policyversion",
                    ),
                ),
                (
                    "ward",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="chart.ward",
                    ),
                ),
            ],
            options={
                "db_table": "policy_step",
                "indexes": [
                    models.Index(
                        fields=["ward", "starts_at"], name="policy_step_on_ward"
                    )
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("starts_at__isnull", True),
                            ("starts_at__gte", models.F("at")),
                            _connector="OR",
                        ),
                        name="policy_step_not_in_the_past",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind", "in-force"), _negated=True),
                            models.Q(
                                ("starts_at__isnull", False), ("ward__isnull", False)
                            ),
                            _connector="OR",
                        ),
                        name="policy_step_in_force_somewhere",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind", "called-off"), _negated=True),
                            ("calls_off__isnull", False),
                            _connector="OR",
                        ),
                        name="policy_step_calls_off_another",
                    ),
                ],
            },
        ),
    ]
