"""What is kept of a guide: the runs, their accounts, the ways back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any, Protocol

from lumenkeep.core.recovery.ways_of_branch import BranchKey

if TYPE_CHECKING:
    from lumenkeep.core.policy import Policy

WRITTEN, BESIDE = "written", "beside"
"""What became of an account: it is the entry, or it is kept beside it."""
GIVEN_UP = "given-up"


@dataclass(frozen=True, slots=True)
class Closing:
    """How a run ended: "written" or "given-up", when (UTC), by whom, and why."""

    how: str
    at: datetime
    by: str
    reason: str


@dataclass(frozen=True, slots=True)
class RunRecord:
    """One opened guide.

    Attributes
    ----------
    key
        Uuid; also the key under which its entry is written.
    set_name
        The ward's policy set as it was named.
    operator, assistant
        Keys of the two people; the assistant is None in an emergency.
    tablet
        Which device opened it; empty where it did not say.
    head
        The bundle but for its ways back.
    question
        What its ways back are worked out from.
    """

    key: str
    line: str
    procedure: str
    set_name: str
    opened_at: datetime
    operator: str
    assistant: str | None
    tablet: str
    head: Mapping[str, Any]
    question: BranchKey
    closing: Closing | None = None

    @property
    def mark(self) -> str:
        """What was on the chart when it was opened."""
        return str(self.head["facts_mark"])


@dataclass(frozen=True, slots=True)
class AccountRecord:
    """What one tablet told of a run, and what became of it (`WRITTEN`, `BESIDE`)."""

    run: str
    tablet: str
    received_at: datetime
    by: str
    digest: str
    body: Mapping[str, Any]
    fate: str


@dataclass(frozen=True, slots=True)
class WaysSoFar:
    """How far the ways back of a branch are.

    Attributes
    ----------
    progress
        0 to 1.
    done
        As `recovery.ways_of_branch.work_out_ways` yields it last; None while it is worked on.
    failed
        Why there will be none; empty while all is well.
    nobody
        That nobody is there to work it out; it goes on by itself once somebody is.
    """

    progress: float
    done: Mapping[str, Any] | None = None
    failed: str = ""
    nobody: str = ""

    @property
    def trouble(self) -> str:
        """Why whoever stands at a bed should not wait for it; empty while all is well."""
        return self.failed or self.nobody


class Ways(Protocol):
    """Ways back, worked out once for each branch and then kept."""

    def of(self, set_name: str, policy: Policy, question: BranchKey) -> WaysSoFar:
        """Return what there is, and begin to work it out where nothing is yet."""
        ...
