"""Tables of what people enter beside the chart; all written once."""

from __future__ import annotations

from typing import Any, ClassVar

from django.db import models

from lumenkeep.ward.site.written_once import FromForm, Signed


class WardHour(Signed):
    """The hour of a ward's count from a day on; the one written last holds."""

    ward = models.ForeignKey("chart.Ward", models.PROTECT, related_name="+")
    starts_on = models.DateField()
    hour = models.TimeField()
    unit = models.CharField(max_length=20)
    source = models.CharField(max_length=300)

    class Meta:
        """Where it came from is never left out."""

        db_table = "outcomes_hour"
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.CheckConstraint(
                condition=~models.Q(source=""), name="outcomes_hour_sourced"
            )
        ]

    def __str__(self) -> str:
        return f"{self.ward_id} {self.starts_on} {self.hour}"


class HandCount(FromForm):
    """A day's count taken by hand; a correction names the one it puts right."""

    ward = models.ForeignKey("chart.Ward", models.PROTECT, related_name="+")
    on = models.DateField()
    children = models.PositiveSmallIntegerField()
    with_line = models.PositiveSmallIntegerField()
    temporary = models.PositiveSmallIntegerField(null=True)
    permanent = models.PositiveSmallIntegerField(null=True)
    strata: models.JSONField[Any, Any] = models.JSONField(default=dict)
    note = models.CharField(max_length=300, default="", blank=True)

    class Meta:
        """One first count for a ward and day; no more lines than children."""

        db_table = "outcomes_hand_count"
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(
                fields=["ward", "on"],
                condition=models.Q(corrects__isnull=True),
                name="outcomes_counted_once",
            ),
            models.CheckConstraint(
                condition=models.Q(with_line__lte=models.F("children")),
                name="outcomes_no_more_lines_than_children",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.ward_id} {self.on} {self.pk}"


class BaselineRow(FromForm):
    """What a ratio is measured against; nothing in it is invented here."""

    ward = models.ForeignKey("chart.Ward", models.PROTECT, related_name="+")
    kind = models.CharField(max_length=20)
    first = models.DateField()
    last = models.DateField()
    predicted = models.FloatField(null=True)
    strata: models.JSONField[Any, Any] = models.JSONField(default=list)
    source = models.CharField(max_length=300)

    class Meta:
        """A baseline names its source."""

        db_table = "outcomes_baseline"
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.CheckConstraint(
                condition=~models.Q(source=""), name="outcomes_baseline_sourced"
            ),
            models.CheckConstraint(
                condition=models.Q(first__lte=models.F("last")),
                name="outcomes_baseline_in_order",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.ward_id} {self.kind} {self.first}"
