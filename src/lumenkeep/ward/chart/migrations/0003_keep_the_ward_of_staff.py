"""A ward that has staff is not deleted: its nurses would then see every ward."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("chart", "0002_guard_what_was_written"),
    ]

    operations = [
        migrations.AlterField(
            model_name="staffprofile",
            name="ward",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="staff",
                to="chart.ward",
            ),
        ),
    ]
