"""What is kept of a policy version: the version, the steps of its life, the drafts.

A version is kept whole and never changes; its life is a row of steps, each written
once. A draft is the one thing that may be changed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from lumenkeep.core.policy.archive import SetTexts, policy_from_texts

DRAFTED, PROVED, APPROVED = "drafted", "proved", "approved"
IN_FORCE, CALLED_OFF, RETIRED = "in-force", "called-off", "retired"


@dataclass(frozen=True, slots=True)
class NewStep:
    """One step of a version's life, about to be written.

    Attributes
    ----------
    kind
        "drafted" (one for each person who edited it), "proved", "approved",
        "in-force", "called-off" or "retired".
    by
        Key of the person.
    ward, starts_at
        Where, and from when (UTC), a version is in force or no longer so.
    calls_off
        Id of the step that this one takes back before it began.
    """

    version: int
    kind: str
    by: str
    ward: str | None = None
    starts_at: datetime | None = None
    calls_off: int | None = None
    note: str = ""
    body: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class StepRecord(NewStep):
    """A step as written, at an instant (UTC)."""

    id: int
    at: datetime


@dataclass(frozen=True, slots=True)
class VersionRecord:
    """A version on record; ``layers`` from the lowest set it extends up to it."""

    id: int
    set_id: str
    version: str
    digest: str
    layers: tuple[SetTexts, ...]

    @property
    def title(self) -> str:
        """What its policy is called."""
        return policy_from_texts(self.layers).title


@dataclass(frozen=True, slots=True)
class DraftRecord:
    """A working copy: its own files on top of the layers that it extends.

    Attributes
    ----------
    base
        Id of the version it was started from; what it changes is told against it.
    below
        The layers it extends, lowest first.
    files
        Name and text of its own files.
    revision
        Counts the times it was saved.
    editors
        Keys of all who saved it, the first one first.
    is_open
        False once it was put away.
    """

    key: str
    title: str
    set_id: str
    base: int
    below: tuple[SetTexts, ...]
    files: Mapping[str, str]
    revision: int
    editors: tuple[str, ...]
    edited_by: str
    edited_at: datetime
    is_open: bool = True

    @property
    def layers(self) -> tuple[SetTexts, ...]:
        """Every layer, lowest first, its own on top."""
        return (*self.below, SetTexts.of(self.set_id, self.files))
