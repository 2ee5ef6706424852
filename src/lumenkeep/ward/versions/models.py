"""Tables of a policy's life: drafts, which change, and steps, which never do."""

from __future__ import annotations

from typing import Any, ClassVar

from django.db import models

from lumenkeep.ward.site.written_once import WrittenOnce
from lumenkeep.ward.versions.guards import RULES_OF_LIFE, STAYS


class PolicyDraft(models.Model):
    """A working copy of a set: its own files on top of the layers it extends."""

    key = models.CharField(max_length=40, primary_key=True)
    title = models.CharField(max_length=200)
    set_id = models.CharField(max_length=80)
    base = models.ForeignKey(
        "chart.PolicyVersion", models.PROTECT, related_name="drafts"
    )
    below: models.JSONField[Any, Any] = models.JSONField()
    files: models.JSONField[Any, Any] = models.JSONField()
    revision = models.PositiveIntegerField(default=1)
    editors: models.JSONField[Any, Any] = models.JSONField(default=list)
    edited_by = models.CharField(max_length=40)
    edited_at = models.DateTimeField()
    is_open = models.BooleanField(default=True)

    class Meta:
        """The one edited last comes first."""

        db_table = "policy_draft"
        ordering: ClassVar[list[str]] = ["-edited_at", "key"]

    def __str__(self) -> str:
        return self.key


class PolicyStep(WrittenOnce):
    """One step of a version's life; written once, by the rules of `guards`."""

    stays = STAYS
    more_guards = RULES_OF_LIFE

    version = models.ForeignKey(
        "chart.PolicyVersion", models.PROTECT, related_name="steps"
    )
    kind = models.CharField(max_length=20)
    by = models.CharField(max_length=40)
    at = models.DateTimeField()
    ward = models.ForeignKey("chart.Ward", models.PROTECT, related_name="+", null=True)
    starts_at = models.DateTimeField(null=True)
    calls_off = models.OneToOneField(
        "self", models.PROTECT, related_name="called_off_by", null=True
    )
    note = models.TextField(default="", blank=True)
    body: models.JSONField[Any, Any] = models.JSONField(default=dict)

    class Meta:
        """A step that says what is in force somewhere never reaches back in time."""

        db_table = "policy_step"
        indexes: ClassVar[list[models.Index]] = [
            models.Index(fields=["ward", "starts_at"], name="policy_step_on_ward")
        ]
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.CheckConstraint(
                condition=models.Q(starts_at__isnull=True)
                | models.Q(starts_at__gte=models.F("at")),
                name="policy_step_not_in_the_past",
            ),
            models.CheckConstraint(
                condition=~models.Q(kind="in-force")
                | models.Q(ward__isnull=False, starts_at__isnull=False),
                name="policy_step_in_force_somewhere",
            ),
            models.CheckConstraint(
                condition=~models.Q(kind="called-off")
                | models.Q(calls_off__isnull=False),
                name="policy_step_calls_off_another",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.pk}"
