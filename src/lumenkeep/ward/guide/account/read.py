"""Read what a guide tells into an account, with every fault of its shape at once.

A person never writes this: a fault here means that tablet and server do not speak the
same format, so the tablet keeps the account and shows what is wrong.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model.hidden_signs import without_hidden_signs
from lumenkeep.errors import ChartError, Fault
from lumenkeep.ward.guide.bundle.assemble import FORMAT

if TYPE_CHECKING:
    from collections.abc import Iterator

DONE, STOPPED, LEFT = "done", "stopped", "left"
ENDINGS = (DONE, STOPPED, LEFT)
YES = "yes"


@dataclass(frozen=True, slots=True)
class StepDone:
    """One step, or one act of a way back, as it was done.

    Attributes
    ----------
    began_at
        By the tablet's clock (UTC).
    seconds
        Real seconds.
    early
        Why it was ended before its time; empty where it was not, or nobody said.
    looked
        Answers of the looks that end it, in order.
    """

    id: str
    began_at: datetime
    seconds: float
    early: str
    looked: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SlipDone:
    """One slip, the acts done after it, how it ended and the spares it took (count)."""

    slip: str
    step: str
    at: datetime
    way: tuple[str, ...]
    ended: str
    spares: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Account:
    """What one tablet tells of one run.

    Attributes
    ----------
    confirmed
        When each person confirmed it (UTC), by key.
    pauses, clock_jumps
        As the tablet noted them.
    bare_seconds
        How long the site lay bare.
    edits
        Values changed at the review after they were called out, as the tablet noted.
    sent_at
        The tablet's clock when it was sent; None where it does not say.
    do_not_use_known
        Why somebody went on who knew that the line is not to be used; empty where
        nobody had to say.
    """

    tablet: str
    started_at: datetime
    ended_at: datetime
    ending: str
    operator: str
    assistant: str | None
    confirmed: Mapping[str, datetime]
    acknowledged_mark: str
    values: Mapping[str, Any]
    steps: tuple[StepDone, ...]
    slips: tuple[SlipDone, ...]
    pauses: tuple[Mapping[str, Any], ...]
    clock_jumps: tuple[Mapping[str, Any], ...]
    bare_seconds: float
    edits: tuple[Mapping[str, Any], ...]
    remarks: str
    sent_at: datetime | None
    do_not_use_known: str = ""


DO_NOT_USE_KNOWN = "do_not_use_known"
MOST_ROWS = 2000
LONGEST_TEXT = 2000
MOST_SECONDS = 10**8
EARLIEST, LATEST = datetime.fromtimestamp(0, UTC), datetime(2200, 1, 1, tzinfo=UTC)
"""What a tablet's clock can show; beyond it times cannot be reckoned with."""
NOT_TOLD_APART = ("sent_at", "acknowledged_mark", "tablet")
"""Keys that do not make one account another."""


def digest_of(sent: Mapping[str, Any]) -> str:
    """Return what is the same for two accounts that tell the same."""
    told = {key: value for key, value in sent.items() if key not in NOT_TOLD_APART}
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()


def read_account(sent: Mapping[str, Any], run: str) -> Account:
    """Return the account that was sent for a run.

    Raises
    ------
    ChartError
        ``guide-bad-account`` for each part that cannot be read.
    """
    read = _Read()
    if sent.get("format") != FORMAT:
        read.unreadable("format", f"The format is not {FORMAT}.")
    if sent.get("run") != run:
        read.unreadable("run", "This account is of another guide.")
    ending = read.text(sent, "ending")
    if ending not in ENDINGS:
        read.unreadable("ending", "The ending is none of: " + ", ".join(ENDINGS) + ".")
    account = Account(
        tablet=read.text(sent, "tablet"),
        started_at=read.instant(sent, "started_at"),
        ended_at=read.instant(sent, "ended_at"),
        ending=ending,
        operator=read.text(sent, "operator"),
        assistant=read.text(sent, "assistant") or None,
        confirmed={
            read.text(row, "person", at): read.instant(row, "at", at)
            for at, row in read.rows(sent, "confirmed")
        },
        acknowledged_mark=read.text(sent, "acknowledged_mark"),
        values=read.table(sent, "values"),
        steps=tuple(read.step(row, at) for at, row in read.rows(sent, "steps")),
        slips=tuple(read.slip(row, at) for at, row in read.rows(sent, "slips")),
        pauses=tuple(row for _, row in read.rows(sent, "pauses")),
        clock_jumps=tuple(row for _, row in read.rows(sent, "clock_jumps")),
        bare_seconds=read.seconds(sent, "bare_seconds"),
        edits=tuple(row for _, row in read.rows(sent, "edits")),
        remarks=read.text(sent, "remarks"),
        sent_at=read.instant(sent, "sent_at") if sent.get("sent_at") else None,
        do_not_use_known=read.text(
            read.table(sent, DO_NOT_USE_KNOWN), "why", f"{DO_NOT_USE_KNOWN}."
        ),
    )
    if read.faults:
        raise ChartError(read.faults)
    return account


@dataclass(slots=True)
class _Read:
    """Reads values out of JSON and notes what is wrong with each."""

    faults: list[Fault] = field(default_factory=list)

    def unreadable(self, where: str, what: str) -> None:
        self.faults.append(
            Fault(
                "guide-bad-account",
                what,
                where,
                "keep the tablet and load its page anew; "
                "if that does not help, chart the change by hand",
            )
        )

    def text(self, table: Mapping[str, Any], key: str, at: str = "") -> str:
        found = table.get(key)
        if found is None:
            return ""
        if isinstance(found, str) and len(found) <= LONGEST_TEXT:
            return without_hidden_signs(found)
        self.unreadable(at + key, f"'{key}' is no text, or too long.")
        return ""

    def instant(self, table: Mapping[str, Any], key: str, at: str = "") -> datetime:
        try:
            found = datetime.fromisoformat(table.get(key, ""))
            if found.tzinfo is not None and EARLIEST <= found <= LATEST:
                return found.astimezone(UTC)
        except (TypeError, ValueError, OverflowError):
            pass
        self.unreadable(at + key, f"'{key}' is no instant with its offset.")
        return EARLIEST

    def seconds(self, table: Mapping[str, Any], key: str, at: str = "") -> float:
        found = table.get(key, 0)
        is_number = isinstance(found, int | float) and not isinstance(found, bool)
        if is_number and 0 <= found <= MOST_SECONDS:
            return float(found)
        self.unreadable(at + key, f"'{key}' is no number of seconds.")
        return 0.0

    def table(
        self, table: Mapping[str, Any], key: str, at: str = ""
    ) -> Mapping[str, Any]:
        found = table.get(key) or {}
        if isinstance(found, dict):
            return found
        self.unreadable(at + key, f"'{key}' is no table.")
        return {}

    def rows(
        self, table: Mapping[str, Any], key: str
    ) -> Iterator[tuple[str, Mapping[str, Any]]]:
        found = table.get(key) or []
        if not isinstance(found, list) or len(found) > MOST_ROWS:
            self.unreadable(key, f"'{key}' is no list, or too long.")
            return
        for place, row in enumerate(found):
            if isinstance(row, dict):
                yield f"{key}[{place}].", row
            else:
                self.unreadable(f"{key}[{place}]", "This is no table.")

    def words(self, table: Mapping[str, Any], key: str, at: str) -> tuple[str, ...]:
        found = table.get(key) or []
        if isinstance(found, list) and all(isinstance(word, str) for word in found):
            return tuple(found[:MOST_ROWS])
        self.unreadable(at + key, f"'{key}' is no list of texts.")
        return ()

    def step(self, row: Mapping[str, Any], at: str) -> StepDone:
        looked = row.get("looked") or []
        answers = looked if isinstance(looked, list) else []
        return StepDone(
            id=self.text(row, "id", at),
            began_at=self.instant(row, "began_at", at),
            seconds=self.seconds(row, "seconds", at),
            early=self.text(row, "early", at).strip(),
            looked=tuple(
                str(one.get("answer")) for one in answers if isinstance(one, dict)
            ),
        )

    def slip(self, row: Mapping[str, Any], at: str) -> SlipDone:
        spares = self.table(row, "spares", at)
        return SlipDone(
            slip=self.text(row, "slip", at),
            step=self.text(row, "step", at),
            at=self.instant(row, "at", at),
            way=self.words(row, "way", at),
            ended=self.text(row, "ended", at),
            spares={item: n for item, n in spares.items() if isinstance(n, int)},
        )
