"""Read a mapping key by key and gather every fault of it, instead of stopping at one.

A `Reader` stands at one table of a file. It hands out values of the wanted kind,
notes a `Fault` with file, key and mend for each that is missing or wrong, and at
the end names the keys nobody asked for. A faulty value comes back as None, so that
reading goes on.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Collection, Iterator, Mapping
from datetime import date, datetime
from typing import Any, TypeVar

from lumenkeep.errors import Fault

T = TypeVar("T")
LONGEST_SHOWN = 40
MOST_GUESSED = 50
"""How many unknown keys of one table are named before the rest are only counted."""


def shown(value: object) -> str:
    """Return a value as a message shows it: short, and quoted where it is text."""
    try:
        text = repr(value) if isinstance(value, str) else str(value)
    except (ValueError, RecursionError):  # a number of thousands of digits; a deep list
        return "a value too long to show"
    if len(text) <= LONGEST_SHOWN:
        return text
    return text[:LONGEST_SHOWN] + "…" + ("'" if isinstance(value, str) else "")


def closest(word: str, allowed: Collection[str]) -> str | None:
    """Return the allowed word that ``word`` was probably meant to be, if any."""
    found = difflib.get_close_matches(word, list(allowed), n=1, cutoff=0.75)
    return found[0] if found else None


def one_of(allowed: Collection[str]) -> str:
    """Return the allowed words as an instruction."""
    return "write one of: " + ", ".join(allowed)


class Reader:
    """One table of an input, and the list that its faults go to.

    Parameters
    ----------
    data
        The table.
    where
        File and path of keys that lead here, as in ``"case.json: child"``.
    faults
        Shared list; every fault found is appended.
    prefix
        Put before each fault's code, as in ``"case"`` for ``case-missing``.
    """

    def __init__(
        self, data: Mapping[str, Any], where: str, faults: list[Fault], prefix: str
    ) -> None:
        self.data = data
        self.where = where
        self.faults = faults
        self.prefix = prefix
        self._seen: set[str] = set()

    def path(self, key: str) -> str:
        """Return file and path of ``key``."""
        joint = "" if self.where.endswith(": ") else "."
        is_plain = key.isprintable() and len(key) <= LONGEST_SHOWN
        return f"{self.where}{joint}{key if is_plain else shown(key)}"

    def fault(self, code: str, what: str, key: str, mend: str) -> None:
        """Note a fault at ``key``."""
        self.faults.append(Fault(f"{self.prefix}-{code}", what, self.path(key), mend))

    def raw(self, key: str) -> Any:
        """Return the value as it stands, None where the key is absent."""
        self._seen.add(key)
        return self.data.get(key)

    def has(self, key: str) -> bool:
        """Return whether the key is there with a value other than null."""
        return self.data.get(key) is not None

    def _wrong(self, key: str, kind: str, value: object, mend: str) -> None:
        self.fault("wrong-kind", f"{shown(value)} is not {kind}.", key, mend)

    def _missing(self, key: str, kind: str) -> None:
        self.fault("missing", f"'{key}' is missing.", key, f"add {kind}")

    def text(self, key: str, *, needed: bool = False) -> str | None:
        """Return text that is not blank."""
        value = self.raw(key)
        if value is None:
            if needed:
                self._missing(key, "a text")
            return None
        if not isinstance(value, str) or not value.strip():
            self._wrong(key, "a text", value, "write words between quotes")
            return None
        return value

    def word(
        self, key: str, allowed: Collection[str], *, needed: bool = False
    ) -> str | None:
        """Return one word of a closed list."""
        value = self.raw(key)
        if value is None:
            if needed:
                self._missing(key, "one of: " + ", ".join(allowed))
            return None
        return self.checked_word(value, key, allowed)

    def checked_word(
        self, value: object, key: str, allowed: Collection[str]
    ) -> str | None:
        """Return ``value`` when it is in the closed list, else note the fault."""
        if isinstance(value, str) and value in allowed:
            return value
        near = closest(value, allowed) if isinstance(value, str) else None
        hint = f"did you mean '{near}'? otherwise " if near else ""
        self.fault(
            "unknown-word",
            f"{shown(value)} is not a word known here.",
            key,
            hint + one_of(allowed),
        )
        return None

    def words(
        self, key: str, allowed: Collection[str] | None, *, needed: bool = False
    ) -> tuple[str, ...]:
        """Return a list of words; a single word counts as a list of one."""
        value = self.raw(key)
        if value is None:
            if needed:
                self._missing(key, "a list of words")
            return ()
        if isinstance(value, str):
            value = [value]
        if not isinstance(value, list):
            self._wrong(key, "a list of words", value, 'write a list, as in ["a", "b"]')
            return ()
        read = [
            self._any_word(item, f"{key}[{position}]", allowed)
            for position, item in enumerate(value)
        ]
        return tuple(word for word in read if word is not None)

    def _any_word(
        self, item: object, place: str, allowed: Collection[str] | None
    ) -> str | None:
        if allowed is not None:
            return self.checked_word(item, place, allowed)
        if isinstance(item, str) and item.strip():
            return item
        self._wrong(place, "a word", item, "write a word between quotes")
        return None

    def number(
        self, key: str, *, low: float, high: float, unit: str, needed: bool = False
    ) -> float | int | None:
        """Return a finite number from ``low`` to ``high``."""
        value = self.raw(key)
        if value is None:
            if needed:
                self._missing(key, f"a number ({unit})" if unit else "a number")
            return None
        return self.checked_number(value, key, low=low, high=high, unit=unit)

    def checked_number(
        self, value: object, key: str, *, low: float, high: float, unit: str
    ) -> float | int | None:
        """Return ``value`` when it is a number in range, else note the fault."""
        of = f" of {unit}" if unit else ""
        mend = f"write a number{of} from {low:g} to {high:g}"
        if isinstance(value, bool) or not isinstance(value, int | float):
            self._wrong(key, "a number", value, mend)
            return None
        if not low <= value <= high:
            given = f"{shown(value)} {unit}".rstrip()
            self.fault("impossible", f"{given} is not possible here.", key, mend)
            return None
        return value

    def whole(
        self, key: str, *, low: int, high: int, unit: str, needed: bool = False
    ) -> int | None:
        """Return a whole number from ``low`` to ``high``."""
        value = self.raw(key)
        if value is None:
            if needed:
                self._missing(
                    key, f"a whole number ({unit})" if unit else "a whole number"
                )
            return None
        return self.checked_whole(value, key, low=low, high=high, unit=unit)

    def checked_whole(
        self, value: object, key: str, *, low: float, high: float, unit: str
    ) -> int | None:
        """Return ``value`` when it is a whole number in range, else note the fault."""
        number = self.checked_number(value, key, low=low, high=high, unit=unit)
        if number is None:
            return None
        if number != int(number):
            kind = f"a whole number of {unit}" if unit else "a whole number"
            self._wrong(key, kind, number, "write it without a fraction")
            return None
        return int(number)

    def flag(self, key: str) -> bool:
        """Return a yes or no; absent is no. For a file's own switches, never facts."""
        value = self.raw(key)
        if value is None:
            return False
        if not isinstance(value, bool):
            self._wrong(key, "true or false", value, "write true or false")
            return False
        return value

    def day(self, key: str, *, needed: bool = False) -> date | None:
        """Return a calendar day, from a date or from text like 2026-03-05."""
        value = self.raw(key)
        if value is None:
            if needed:
                self._missing(key, "a day, as in 2026-03-05")
            return None
        if isinstance(value, date) and not isinstance(value, datetime):
            return value
        if isinstance(value, str):
            try:
                return date.fromisoformat(value)
            except ValueError:
                pass
        self._wrong(key, "a day", value, "write a day, as in 2026-03-05")
        return None

    def parsed(
        self, key: str, parse: Callable[[str], T], kind: str, mend: str
    ) -> T | None:
        """Return what ``parse`` makes of the text; its ValueError becomes a fault."""
        value = self.text(key)
        if value is None:
            return None
        try:
            return parse(value)
        except ValueError:
            self._wrong(key, kind, value, mend)
            return None

    def table(self, key: str, *, needed: bool = False) -> Reader | None:
        """Return a reader for the table at ``key``."""
        value = self.raw(key)
        if value is None:
            if needed:
                self._missing(key, "a table")
            return None
        if not isinstance(value, Mapping):
            self._wrong(key, "a table", value, "write a table of keys and values")
            return None
        return Reader(value, self.path(key), self.faults, self.prefix)

    def rows(self, key: str) -> Iterator[Reader]:
        """Yield a reader for each table of the list at ``key``."""
        value = self.raw(key)
        if value is None:
            return
        if not isinstance(value, list):
            self._wrong(key, "a list of tables", value, "write a list of tables")
            return
        for position, item in enumerate(value):
            place = f"{key}[{position}]"
            if isinstance(item, Mapping):
                yield Reader(item, self.path(place), self.faults, self.prefix)
            else:
                self._wrong(place, "a table", item, "write a table of keys and values")

    def every_key(self) -> list[str]:
        """Return all keys of the table, marking them as asked for."""
        self._seen.update(self.data)
        return list(self.data)

    def finish(self, also: Collection[str] = ()) -> None:
        """Note a fault for every key that nobody asked for."""
        known = self._seen | set(also)
        strange = [key for key in self.data if key not in known]
        for position, key in enumerate(map(str, strange)):
            if position == MOST_GUESSED:
                self.fault(
                    "unknown-keys",
                    f"{len(strange) - position} more keys mean nothing here.",
                    key,
                    "take them out",
                )
                break
            near = closest(key, known)
            mend = f"did you mean '{near}'?" if near else "take the key out"
            self.fault("unknown-key", f"{shown(key)} means nothing here.", key, mend)
