"""Read what a person typed into a form: numbers, instants, days, words, with every fault.

Each reader returns the value, or None after noting what is wrong and how to mend it.
The faults name the form's field, never what was typed about a child.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, tzinfo
from typing import TYPE_CHECKING

from lumenkeep.core.model import known_or_none
from lumenkeep.core.model.hidden_signs import without_hidden_signs
from lumenkeep.errors import ChartError, Fault

if TYPE_CHECKING:
    from lumenkeep.core.entries import LineState

LONGEST_TEXT = 2000
_NUMBER = re.compile(r"[0-9]{1,7}(?:[.,][0-9]{1,3})?")
_COUNT = re.compile(r"[0-9]{1,4}")


@dataclass(slots=True)
class Typed:
    """The fields of one form as typed, and the faults found in them so far."""

    fields: Mapping[str, str]
    faults: list[Fault] = field(default_factory=list)

    def fault(self, code: str, what: str, where: str, mend: str) -> None:
        """Note a fault of the field ``where``."""
        self.faults.append(Fault(f"chart-{code}", what, where, mend))

    def raise_faults(self) -> None:
        """Raise all faults together, if there are any.

        Raises
        ------
        ChartError
            Holding every fault of the form.
        """
        if self.faults:
            raise ChartError(self.faults)

    def text(self, name: str, label: str, *, needed: bool = False) -> str | None:
        """Return what was typed, trimmed; None where nothing that can be seen was."""
        typed = without_hidden_signs(self.fields.get(name, "")).strip()
        if not any(sign.isprintable() and not sign.isspace() for sign in typed):
            if needed:
                self.fault(
                    "missing", f"{label}: nothing is filled in.", name, "fill it in"
                )
            return None
        if len(typed) > LONGEST_TEXT:
            self.fault(
                "too-long",
                f"{label}: the text is longer than {LONGEST_TEXT} characters.",
                name,
                "shorten it",
            )
            return None
        return typed

    def word(
        self, name: str, label: str, known: Collection[str], *, needed: bool = False
    ) -> str | None:
        """Return one of the known words."""
        typed = self.text(name, label, needed=needed)
        if typed is None or typed in known:
            return typed
        self.fault(
            "unknown-word",
            f"{label}: this is none of the choices.",
            name,
            "choose one of: " + ", ".join(known),
        )
        return None

    def words(
        self, name: str, label: str, chosen: Collection[str], known: Collection[str]
    ) -> list[str]:
        """Return the chosen words in the known order."""
        if any(word not in known for word in chosen):
            self.fault(
                "unknown-word",
                f"{label}: one of these is none of the choices.",
                name,
                "choose from: " + ", ".join(known),
            )
        return [word for word in known if word in chosen]

    def number(
        self,
        name: str,
        label: str,
        unit: str,
        low: float | None = None,
        high: float | None = None,
        *,
        needed: bool = False,
    ) -> float | None:
        """Return a number in ``unit`` between ``low`` and ``high``, both allowed."""
        if self.text(name, label, needed=needed) is None:
            return None
        value = self.said(name, unit)
        if value is None:
            self.fault(
                "not-a-number",
                f"{label}: this is not a number.",
                name,
                f"write digits, in {unit}" if unit else "write digits",
            )
            return None
        return value if self.within(name, label, value, unit, low, high) else None

    def said(self, name: str, unit: str) -> float | None:
        """Return the number typed, possible or not; None where it is none."""
        typed = self.fields.get(name, "").strip()
        bare = typed.removesuffix(unit).strip() if unit else typed
        is_number = _NUMBER.fullmatch(bare) is not None
        return float(bare.replace(",", ".")) if is_number else None

    def count(
        self,
        name: str,
        label: str,
        low: float | None = None,
        high: float | None = None,
        *,
        needed: bool = False,
    ) -> int | None:
        """Return a whole number between ``low`` and ``high``, both allowed."""
        typed = self.text(name, label, needed=needed)
        if typed is None:
            return None
        if not _COUNT.fullmatch(typed):
            self.fault(
                "not-a-number",
                f"{label}: this is not a whole number.",
                name,
                "write digits, 0 for none",
            )
            return None
        value = int(typed)
        return value if self.within(name, label, value, "", low, high) else None

    def within(
        self,
        name: str,
        label: str,
        value: float,
        unit: str,
        low: float | None,
        high: float | None,
    ) -> bool:
        """Return whether a value is possible, noting a fault where it is not."""
        tail = f" {unit}" if unit else ""
        if low is not None and value < low:
            limit = f"below {low:g}{tail}"
        elif high is not None and value > high:
            limit = f"above {high:g}{tail}"
        else:
            return True
        self.fault(
            "out-of-range",
            f"{label}: {value:g}{tail} is {limit}, which is not possible.",
            name,
            f"measure again, and check that it is in {unit}" if unit else "count again",
        )
        return False

    def instant(
        self,
        name: str,
        label: str,
        zone: tzinfo,
        now: datetime,
        *,
        needed: bool = False,
    ) -> datetime | None:
        """Return an instant not later than ``now`` (UTC), typed as the ward's wall time.

        An offset may be typed too. A wall time that comes twice is read as the later
        one that has been; one that the clocks skip is a fault.
        """
        typed = self.text(name, label, needed=needed)
        if typed is None:
            return None
        try:
            wall = datetime.fromisoformat(typed)
            return self._not_skipped(name, label, wall, zone, now)
        except (ValueError, OverflowError):
            self.fault(
                "bad-instant",
                f"{label}: this is not a date and time.",
                name,
                "write it as in 2026-11-25 08:30",
            )
            return None

    def _not_skipped(
        self, name: str, label: str, wall: datetime, zone: tzinfo, now: datetime
    ) -> datetime | None:
        if wall.tzinfo is None:
            readings = [
                wall.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (1, 0)
            ]
            there = [
                at
                for at in readings
                if at.astimezone(zone).replace(tzinfo=None) == wall.replace(fold=0)
            ]
            if not there:
                self.fault(
                    "time-skipped",
                    f"{label}: the clocks skipped this time.",
                    name,
                    "write the time an hour later",
                )
                return None
            at = next((at for at in there if at <= now), there[-1])
        else:
            at = wall.astimezone(UTC)
        if at > now:
            self.fault(
                "in-the-future",
                f"{label}: this time is still to come.",
                name,
                "write when it was done; chart it after it is done",
            )
            return None
        return at

    def after(
        self, name: str, label: str, at: datetime | None, start: datetime, what: str
    ) -> None:
        """Note a fault where ``at`` lies in a minute before that of ``start`` (UTC).

        A form tells minutes; what was done in the same minute is not before.
        """
        if at is not None and at < minute_of(start):
            self.fault(
                "too-long-ago",
                f"{label}: this is before {what}.",
                name,
                f"check the date; {what} comes first",
            )


def minute_of(at: datetime) -> datetime:
    """Return the minute of an instant, which is what a form can tell apart."""
    return at.replace(second=0, microsecond=0)


def after_insertion(form: Typed, name: str, at: datetime, state: LineState) -> None:
    """Note a fault where ``at`` lies before the line was inserted (UTC)."""
    inserted = known_or_none(state.case.line.inserted)
    if inserted is not None:
        form.after(name, "Time", at, inserted, "the insertion of the line")


def typed_day(
    form: Typed, name: str, label: str, today: date, *, needed: bool = False
) -> date | None:
    """Return a day not later than ``today``, typed as in 2026-11-25."""
    text = form.text(name, label, needed=needed)
    if text is None:
        return None
    try:
        day = date.fromisoformat(text)
    except ValueError:
        form.fault(
            "bad-day",
            f"{label}: this is no day.",
            name,
            "write it as in 2026-11-25",
        )
        return None
    if day > today:
        form.fault(
            "in-the-future",
            f"{label}: this day is still to come.",
            name,
            "write the day on which it was so",
        )
        return None
    return day
