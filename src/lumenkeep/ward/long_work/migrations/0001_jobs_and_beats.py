"""Long work: what was asked for, and who is there to do it."""

from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = []

    operations = [
        migrations.CreateModel(
            name="WorkerBeat",
            fields=[
                (
                    "name",
                    models.CharField(max_length=40, primary_key=True, serialize=False),
                ),
                ("beat_at", models.DateTimeField()),
            ],
            options={"db_table": "work_beat"},
        ),
        migrations.CreateModel(
            name="LongJob",
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
                ("key", models.CharField(max_length=200)),
                ("question", models.BinaryField()),
                (
                    "asked_by",
                    models.CharField(blank=True, default="", max_length=40),
                ),
                ("asked", models.PositiveBigIntegerField()),
                ("waits_since", models.DateTimeField()),
                ("state", models.CharField(default="waiting", max_length=10)),
                ("percent", models.PositiveSmallIntegerField(default=0)),
                ("told", models.JSONField(default=list)),
                ("stop_asked", models.BooleanField(default=False)),
                ("attempts", models.PositiveSmallIntegerField(default=0)),
                ("worker", models.CharField(blank=True, default="", max_length=40)),
                ("answer", models.BinaryField(default=b"")),
                ("fault", models.TextField(blank=True, default="")),
                ("ended_at", models.DateTimeField(null=True)),
            ],
            options={
                "db_table": "work_job",
                "indexes": [
                    models.Index(fields=["state", "kind"], name="work_by_state")
                ],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("kind", "key"), name="work_asked_once"
                    )
                ],
            },
        ),
    ]
