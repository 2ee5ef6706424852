"""Stops the clock of a Python process, and of every one that it starts.

Python imports a module of this name before anything else, where its folder is on
the path; so whatever asks for the present, in whichever process, is told one instant.
"""

from __future__ import annotations

import datetime
import os

_REAL = datetime.datetime


class _Kind(type):
    """Takes every real instant for one of the stopped kind."""

    def __instancecheck__(cls, value: object) -> bool:
        return isinstance(value, _REAL)

    def __subclasscheck__(cls, other: type) -> bool:
        return issubclass(other, _REAL)


def _stop(at: datetime.datetime) -> None:
    class Stopped(_REAL, metaclass=_Kind):
        """The class of instants, except that the present stands still."""

        @classmethod
        def now(cls, tz: datetime.tzinfo | None = None) -> datetime.datetime:
            return cls.fromtimestamp(at.timestamp(), tz)

        @classmethod
        def utcnow(cls) -> datetime.datetime:
            return cls.fromtimestamp(at.timestamp(), datetime.UTC).replace(tzinfo=None)

        @classmethod
        def today(cls) -> datetime.datetime:
            return cls.now()

    Stopped.__name__ = Stopped.__qualname__ = "datetime"
    Stopped.__module__ = "datetime"
    datetime.datetime = Stopped  # type: ignore[misc]


if "GOLDEN_NOW" in os.environ:
    _stop(_REAL.fromisoformat(os.environ["GOLDEN_NOW"]))
