"""The one table of watching, derived: it can be emptied and worked out again."""

from __future__ import annotations

from django.db import models

from lumenkeep.ward.chart.models import LinePlace, Ward


class OpenLineRow(models.Model):
    """A line that may have an open concern, in place or not.

    ``ward`` is where its child lies, or lay last; ``mark`` a digest of all entries of
    line and child, so that what they raise need not be worked out twice.
    """

    line = models.OneToOneField(
        LinePlace, models.CASCADE, primary_key=True, related_name="+"
    )
    ward = models.ForeignKey(Ward, models.CASCADE, related_name="+", null=True)
    last_entry = models.BigIntegerField()
    mark = models.CharField(max_length=64, default="", blank=True)

    class Meta:
        """Named by what it holds."""

        db_table = "watch_open_line"

    def __str__(self) -> str:
        return str(self.pk)
