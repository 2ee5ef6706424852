"""Opened guides in memory, for tests of the use cases."""

from __future__ import annotations

from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from lumenkeep.ward.guide.records import AccountRecord, Closing, RunRecord

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass
class FakeRuns:
    """Plays the port of opened guides."""

    kept: dict[str, RunRecord] = field(default_factory=dict)
    told: list[AccountRecord] = field(default_factory=list)

    def open(self, run: RunRecord) -> None:
        self.kept[run.key] = run

    def run(self, key: str) -> RunRecord | None:
        return self.kept.get(key)

    def open_on(self, line: str, procedure: str | None = None) -> Sequence[RunRecord]:
        return [
            run
            for run in reversed(self.kept.values())
            if run.line == line
            and procedure in (None, run.procedure)
            and run.closing is None
        ]

    def keep(self, account: AccountRecord) -> None:
        self.told.append(account)

    def accounts(self, run: str) -> Sequence[AccountRecord]:
        return [one for one in self.told if one.run == run]

    def accounts_on(self, line: str) -> Sequence[AccountRecord]:
        return [one for one in self.told if self.kept[one.run].line == line]

    def close(self, run: str, closing: Closing) -> None:
        self.kept[run] = replace(self.kept[run], closing=closing)

    def exclusively(self) -> AbstractContextManager[Any]:
        return nullcontext()
