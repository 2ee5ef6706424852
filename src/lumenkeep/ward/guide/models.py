"""Tables of the guide: what was opened, what was told, how it ended; all append-only."""

from __future__ import annotations

from typing import Any, ClassVar

from django.db import models

from lumenkeep.ward.site.written_once import WrittenOnce


class GuideRun(WrittenOnce):
    """One opened guide: whose line, who works, and the bundle but for its ways back.

    ``question`` is what the ways back are worked out from; they are kept elsewhere
    and may be thrown away.
    """

    key = models.CharField(max_length=40, primary_key=True)
    line = models.ForeignKey(
        "chart.LinePlace", models.PROTECT, related_name="guide_runs"
    )
    procedure = models.CharField(max_length=40)
    set_name = models.CharField(max_length=500)
    opened_at = models.DateTimeField()
    operator = models.CharField(max_length=40)
    assistant = models.CharField(max_length=40, null=True)  # noqa: DJ001  none is not ""
    tablet = models.CharField(max_length=80, default="", blank=True)
    head: models.JSONField[Any, Any] = models.JSONField()
    question: models.JSONField[Any, Any] = models.JSONField()

    class Meta:
        """The newest of a line comes first."""

        db_table = "guide_run"
        ordering: ClassVar[list[str]] = ["-opened_at", "key"]
        indexes: ClassVar[list[models.Index]] = [
            models.Index(fields=["line", "opened_at"], name="guide_run_on_line")
        ]

    def __str__(self) -> str:
        return self.key


class GuideAccount(WrittenOnce):
    """What one tablet told of a run: it became the entry, or is kept beside it."""

    run = models.ForeignKey(GuideRun, models.PROTECT, related_name="accounts")
    tablet = models.CharField(max_length=80)
    received_at = models.DateTimeField()
    by = models.CharField(max_length=40)
    digest = models.CharField(max_length=64)
    body: models.JSONField[Any, Any] = models.JSONField()
    fate = models.CharField(max_length=10)

    class Meta:
        """One account is kept once, and one of a run is the entry."""

        db_table = "guide_account"
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(
                fields=["run", "digest"], name="guide_account_kept_once"
            ),
            models.UniqueConstraint(
                fields=["run"],
                condition=models.Q(fate="written"),
                name="guide_account_written_once",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.fate} {self.pk}"


class GuideClosing(WrittenOnce):
    """How a run ended: written, or given up and why."""

    run = models.OneToOneField(
        GuideRun, models.PROTECT, primary_key=True, related_name="closing"
    )
    how = models.CharField(max_length=10)
    at = models.DateTimeField()
    by = models.CharField(max_length=40)
    reason = models.TextField(default="", blank=True)

    class Meta:
        """A run ends once."""

        db_table = "guide_closing"

    def __str__(self) -> str:
        return f"{self.how} {self.pk}"
