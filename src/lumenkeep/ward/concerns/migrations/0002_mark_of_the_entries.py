"""A digest of the entries, so that what they raise is worked out once."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("watch", "0001_lines_with_open_concerns"),
    ]

    operations = [
        migrations.AddField(
            model_name="openlinerow",
            name="mark",
            field=models.CharField(blank=True, default="", max_length=64),
        ),
    ]
