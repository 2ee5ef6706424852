"""The tables of long work: what was asked for, and who is there to do it."""

from __future__ import annotations

import json
import zlib
from typing import Any, ClassVar

from django.db import models

NAME = 40


class JobState(models.TextChoices):
    """Where a job stands; the last four are ends."""

    WAITING = "waiting"
    RUNNING = "running"
    DONE = "done"
    FAILED = "failed"
    STOPPED = "stopped"
    GIVEN_UP = "given-up"


MOST_KEPT = 256
"""Answers kept, those that were asked for last; one asked for later is worked out anew."""


class LongJob(models.Model):
    """A question that takes long: one row however many ask it.

    Attributes
    ----------
    kind
        A name in ``settings.LONG_WORK``.
    key
        What it is about: the same key is the same question.
    asked_by
        Key of the person who asked first; empty where nobody in particular did.
    asked
        When it was asked for last, as a count over all jobs.
    told
        What was said on the way, each part as the work said it.
    attempts
        How often it was begun.
    worker
        Name of whoever works on it; empty while nobody does.
    fault
        In words, why there is no answer.
    """

    kind = models.CharField(max_length=NAME)
    key = models.CharField(max_length=200)
    question = models.BinaryField()
    asked_by = models.CharField(max_length=NAME, default="", blank=True)
    asked = models.PositiveBigIntegerField()
    waits_since = models.DateTimeField()
    state = models.CharField(max_length=10, default=JobState.WAITING)
    percent = models.PositiveSmallIntegerField(default=0)
    told = models.JSONField(default=list)
    stop_asked = models.BooleanField(default=False)
    attempts = models.PositiveSmallIntegerField(default=0)
    worker = models.CharField(max_length=NAME, default="", blank=True)
    answer = models.BinaryField(default=b"")
    fault = models.TextField(default="", blank=True)
    ended_at = models.DateTimeField(null=True)

    class Meta:
        """One row a question."""

        db_table = "work_job"
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(fields=("kind", "key"), name="work_asked_once")
        ]
        indexes: ClassVar[list[models.Index]] = [
            models.Index(fields=("state", "kind"), name="work_by_state")
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.key}: {self.state}"


class WorkerBeat(models.Model):
    """A worker that is there, and when it last said so, by the database's clock."""

    name = models.CharField(max_length=NAME, primary_key=True)
    beat_at = models.DateTimeField()

    class Meta:
        """One row a worker."""

        db_table = "work_beat"

    def __str__(self) -> str:
        return self.name


def packed(value: dict[str, Any]) -> bytes:
    """Return a table small enough to lie in a row."""
    return zlib.compress(json.dumps(value).encode())


def unpacked(kept: bytes) -> dict[str, Any] | None:
    """Return the table that `packed` made small; None where it is one no more."""
    try:
        found = json.loads(zlib.decompress(kept))
    except (zlib.error, ValueError):
        return None
    return found if isinstance(found, dict) else None
