"""Keep who wrote a look that somebody else made; a nullable column remakes no table."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from django.db import migrations, models

if TYPE_CHECKING:
    from django.db.migrations.operations.base import Operation


class Migration(migrations.Migration):
    """A correction keeps the observer, and names who made it."""

    dependencies: ClassVar[list[tuple[str, str]]] = [("rounds", "0002_guard_the_looks")]

    operations: ClassVar[list[Operation]] = [
        migrations.AddField(
            model_name="lookrow",
            name="by",
            field=models.CharField(max_length=40, null=True),
        ),
    ]
