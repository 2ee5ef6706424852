"""Tables of the chart, the policies it was charted under, and the staff."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="Child",
            fields=[
                (
                    "key",
                    models.CharField(max_length=40, primary_key=True, serialize=False),
                ),
                ("display_name", models.CharField(max_length=120)),
            ],
        ),
        migrations.CreateModel(
            name="LinePlace",
            fields=[
                (
                    "key",
                    models.CharField(max_length=40, primary_key=True, serialize=False),
                ),
                (
                    "child",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="lines",
                        to="chart.child",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Ward",
            fields=[
                (
                    "key",
                    models.CharField(max_length=40, primary_key=True, serialize=False),
                ),
                ("name", models.CharField(max_length=80)),
                ("zone", models.CharField(max_length=64)),
                ("unit", models.CharField(max_length=40)),
                ("policy_set", models.CharField(max_length=500)),
                ("order", models.PositiveSmallIntegerField(default=0)),
            ],
            options={
                "ordering": ["order", "key"],
            },
        ),
        migrations.CreateModel(
            name="PolicyVersion",
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
                ("set_id", models.CharField(max_length=80)),
                ("version", models.CharField(max_length=80)),
                ("digest", models.CharField(max_length=64, unique=True)),
                ("files", models.JSONField()),
                ("first_seen", models.DateTimeField()),
            ],
            options={
                "db_table": "chart_policy_version",
                "indexes": [
                    models.Index(fields=["set_id", "first_seen"], name="policy_by_day")
                ],
            },
        ),
        migrations.CreateModel(
            name="StaffProfile",
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
                ("key", models.CharField(max_length=40, unique=True)),
                ("display_name", models.CharField(max_length=120)),
                (
                    "role",
                    models.CharField(
                        choices=[
                            ("educator", "Vascular-access educator"),
                            ("charge-nurse", "Charge nurse"),
                            ("nurse", "Nurse"),
                        ],
                        default="nurse",
                        max_length=20,
                    ),
                ),
                ("glove", models.CharField(blank=True, default="", max_length=8)),
                (
                    "user",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="staff",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "ward",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="staff",
                        to="chart.ward",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="LineNow",
            fields=[
                (
                    "line",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        serialize=False,
                        to="chart.lineplace",
                    ),
                ),
                ("bed", models.CharField(blank=True, default="", max_length=20)),
                ("side", models.CharField(blank=True, default="", max_length=20)),
                ("state", models.TextField()),
                ("last_entry", models.BigIntegerField()),
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
        ),
        migrations.CreateModel(
            name="EntryRow",
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
                ("kind", models.CharField(max_length=40)),
                ("happened_at", models.DateTimeField()),
                ("written_at", models.DateTimeField()),
                ("by", models.CharField(max_length=40)),
                ("body", models.JSONField(default=dict)),
                ("submission", models.CharField(max_length=80, null=True)),
                ("part", models.PositiveSmallIntegerField(default=0)),
                (
                    "child",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="entries",
                        to="chart.child",
                    ),
                ),
                (
                    "corrects",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="corrected_by",
                        to="chart.entryrow",
                    ),
                ),
                (
                    "line",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="entries",
                        to="chart.lineplace",
                    ),
                ),
                (
                    "policy",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="chart.policyversion",
                    ),
                ),
            ],
            options={
                "db_table": "chart_entry",
                "constraints": [
                    models.UniqueConstraint(
                        fields=("submission", "part"), name="entry_submitted_once"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind", "withdrawn"), _negated=True),
                            ("corrects__isnull", False),
                            _connector="OR",
                        ),
                        name="entry_withdrawn_names_another",
                    ),
                ],
            },
        ),
    ]
