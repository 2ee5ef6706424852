"""The table of looks; written once."""

from __future__ import annotations

from typing import Any

from django.db import models

from lumenkeep.ward.site.written_once import FromForm


class LookRow(FromForm):
    """One line, looked at once; a correction names the look that it puts right."""

    ward = models.ForeignKey("chart.Ward", models.PROTECT, related_name="+")
    line = models.ForeignKey("chart.LinePlace", models.PROTECT, related_name="+")
    at = models.DateTimeField(db_index=True)
    observer = models.CharField(max_length=40)
    from_unit = models.BooleanField()
    observed = models.CharField(max_length=40, default="", blank=True)
    answers: models.JSONField[Any, Any] = models.JSONField()
    note = models.TextField(default="", blank=True)
    policy = models.CharField(max_length=64)
    # None: the observer wrote it.
    by = models.CharField(max_length=40, null=True)  # type: ignore[assignment]  # noqa: DJ001

    class Meta:
        """Its name says what it holds."""

        db_table = "rounds_look"

    def __str__(self) -> str:
        return f"{self.line_id} {self.at:%Y-%m-%d} {self.pk}"
