"""Tables of the chart.

Entries and policy versions are written once (`written_once`). `LineNow` is derived: it can
be emptied and folded again from the entries at any time. Names of children lie in
one column of one table and go nowhere but to the screen.
"""

from __future__ import annotations

from typing import Any, ClassVar

from django.conf import settings
from django.db import models

from lumenkeep.ward.site.written_once import FromForm, WrittenOnce


class Ward(models.Model):
    """A ward: its zone, the kind of unit, and the policy set in force there."""

    key = models.CharField(max_length=40, primary_key=True)
    name = models.CharField(max_length=80)
    zone = models.CharField(max_length=64)
    unit = models.CharField(max_length=40)
    policy_set = models.CharField(max_length=500)
    order = models.PositiveSmallIntegerField(default=0)

    class Meta:
        """Shown in the hospital's own order."""

        ordering: ClassVar[list[str]] = ["order", "key"]

    def __str__(self) -> str:
        return self.key


class Child(models.Model):
    """A child: a key that says nothing, and the name that only the screen shows."""

    key = models.CharField(max_length=40, primary_key=True)
    display_name = models.CharField(max_length=120)

    def __str__(self) -> str:
        return self.key


class LinePlace(models.Model):
    """A line, and whose it is; all else about it lies in its entries."""

    key = models.CharField(max_length=40, primary_key=True)
    child = models.ForeignKey(Child, models.PROTECT, related_name="lines")

    def __str__(self) -> str:
        return self.key


class PolicyVersion(WrittenOnce):
    """A policy set as it stood when an entry was charted under it; append-only.

    ``files`` holds the layers from the lowest set it extends to the set itself, each
    ``{"name": folder, "files": {file name: text}}``, so it can be read again; empty
    where only the name came with an imported entry.
    """

    set_id = models.CharField(max_length=80)
    version = models.CharField(max_length=80)
    digest = models.CharField(max_length=64, unique=True)
    files: models.JSONField[Any, Any] = models.JSONField()
    first_seen = models.DateTimeField()

    class Meta:
        """Found by set and day."""

        db_table = "chart_policy_version"
        indexes: ClassVar[list[models.Index]] = [
            models.Index(fields=["set_id", "first_seen"], name="policy_by_day")
        ]

    def __str__(self) -> str:
        return f"{self.set_id} {self.version} {self.digest}"


class EntryRow(FromForm):
    """One entry of the chart; append-only.

    ``submission`` and ``part`` name the form that was sent and the entry's place in
    it, so the same form sent twice is written once.
    """

    child = models.ForeignKey(Child, models.PROTECT, related_name="entries")
    line = models.ForeignKey(
        LinePlace, models.PROTECT, related_name="entries", null=True
    )
    kind = models.CharField(max_length=40)
    happened_at = models.DateTimeField()
    policy = models.ForeignKey(PolicyVersion, models.PROTECT, related_name="+")
    body: models.JSONField[Any, Any] = models.JSONField(default=dict)
    # An entry may come by no form, and one form may write several.
    submission = models.CharField(max_length=80, null=True)  # type: ignore[assignment]  # noqa: DJ001
    part = models.PositiveSmallIntegerField(default=0)

    class Meta:
        """One entry for each part of a form; a withdrawal names what it takes back."""

        db_table = "chart_entry"
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(
                fields=["submission", "part"], name="entry_submitted_once"
            ),
            models.CheckConstraint(
                condition=~models.Q(kind="withdrawn")
                | models.Q(corrects__isnull=False),
                name="entry_withdrawn_names_another",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.pk}"


class LineNow(models.Model):
    """A line in place, as its entries leave it; derived, never the truth itself."""

    line = models.OneToOneField(LinePlace, models.CASCADE, primary_key=True)
    ward = models.ForeignKey(Ward, models.PROTECT, related_name="+", null=True)
    bed = models.CharField(max_length=20, default="", blank=True)
    side = models.CharField(max_length=20, default="", blank=True)
    state = models.TextField()
    last_entry = models.BigIntegerField()

    def __str__(self) -> str:
        return str(self.pk)


class StaffProfile(models.Model):
    """A member of staff: what the wards need to know beside the account."""

    class Role(models.TextChoices):
        """What somebody is on the ward, which decides what they may do."""

        EDUCATOR = "educator", "Vascular-access educator"
        CHARGE_NURSE = "charge-nurse", "Charge nurse"
        NURSE = "nurse", "Nurse"

    user = models.OneToOneField(
        settings.AUTH_USER_MODEL, models.CASCADE, related_name="staff"
    )
    key = models.CharField(max_length=40, unique=True)
    display_name = models.CharField(max_length=120)
    role = models.CharField(max_length=20, choices=Role.choices, default=Role.NURSE)
    ward = models.ForeignKey(
        Ward, models.PROTECT, related_name="staff", null=True, blank=True
    )
    glove = models.CharField(max_length=8, default="", blank=True)

    def __str__(self) -> str:
        return self.key
