"""Opened guides and what was told of them."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from lumenkeep.core.recovery.ways_of_branch import BranchKey
from lumenkeep.errors import Fault
from lumenkeep.ward.guide.models import GuideAccount, GuideClosing, GuideRun
from lumenkeep.ward.guide.records import AccountRecord, Closing, RunRecord
from lumenkeep.ward.site.written_once import all_or_nothing

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from contextlib import AbstractContextManager

_KEPT = (
    "key", "procedure", "set_name", "opened_at", "operator", "assistant", "tablet",
)  # fmt: skip


class RunRepository:
    """The opened guides and what was told of them; nothing of it is ever changed."""

    def open(self, run: RunRecord) -> None:
        """Keep a new run."""
        GuideRun.objects.create(
            **{name: getattr(run, name) for name in _KEPT},
            line_id=run.line,
            head=dict(run.head),
            question=asdict(run.question),
        )

    def run(self, key: str) -> RunRecord | None:
        """Return a run; None if there is none of that key."""
        row = GuideRun.objects.select_related("closing").filter(key=key).first()
        return None if row is None else _record(row)

    def open_on(self, line: str, procedure: str | None = None) -> Sequence[RunRecord]:
        """Return the runs on a line that are not closed, the newest first."""
        rows = GuideRun.objects.filter(line=line, closing=None)
        if procedure is not None:
            rows = rows.filter(procedure=procedure)
        return [_record(row) for row in rows]

    def keep(self, account: AccountRecord) -> None:
        """Keep what a tablet told."""
        GuideAccount.objects.create(
            run_id=account.run,
            tablet=account.tablet,
            received_at=account.received_at,
            by=account.by,
            digest=account.digest,
            body=dict(account.body),
            fate=account.fate,
        )

    def accounts(self, run: str) -> Sequence[AccountRecord]:
        """Return what was told of a run, in the order received."""
        return _accounts(GuideAccount.objects.filter(run=run).order_by("id"))

    def accounts_on(self, line: str) -> Sequence[AccountRecord]:
        """Return what was told of every run on a line, in the order received."""
        return _accounts(GuideAccount.objects.filter(run__line=line).order_by("id"))

    def close(self, run: str, closing: Closing) -> None:
        """Close a run."""
        GuideClosing.objects.create(run_id=run, **asdict(closing))

    def exclusively(self) -> AbstractContextManager[None]:
        """Return a block in which nobody else writes, all or nothing of it.

        It takes the write lock at once.

        Raises
        ------
        StoreError
            ``guide-not-kept``: the database failed, and nothing of the block is kept.
        """
        return all_or_nothing(
            Fault(
                "guide-not-kept",
                "The guide could not be written; nothing of this was saved.",
                "guide",
                "send it again in a minute: the tablet keeps it until then",
            )
        )


def _record(row: GuideRun) -> RunRecord:
    closing = None
    if hasattr(row, "closing"):
        end = row.closing
        closing = Closing(end.how, end.at, end.by, end.reason)
    return RunRecord(
        **{name: getattr(row, name) for name in _KEPT},
        line=row.line_id,
        head=row.head,
        question=BranchKey(**row.question),
        closing=closing,
    )


def _accounts(rows: Iterable[GuideAccount]) -> list[AccountRecord]:
    return [
        AccountRecord(
            row.run_id, row.tablet, row.received_at, row.by,
            row.digest, row.body, row.fate,
        )
        for row in rows
    ]  # fmt: skip
