"""Shapes that the pages of every topic share: what a template is given when no value fits.

A page gives its template the value itself wherever that says it; these are for what a
page makes of several values, and looks the same on each.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

Row_co = TypeVar("Row_co", covariant=True)


@dataclass(frozen=True, slots=True)
class Link:
    """Words and where they lead."""

    words: str
    href: str
    is_here: bool = False


@dataclass(frozen=True, slots=True)
class Option:
    """A value that may be chosen, in words."""

    value: str
    words: str
    is_chosen: bool = False


@dataclass(frozen=True, slots=True)
class Group(Generic[Row_co]):
    """Rows under a title; ``key`` names the group in the page."""

    title: str
    rows: Sequence[Row_co]
    key: str = ""


@dataclass(frozen=True, slots=True)
class Told:
    """Something that happened, when, and where it stands."""

    when: str
    what: str
    href: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class AxisBar:
    """A span on an axis (percent); what is open runs on beyond it."""

    x: float
    width: float
    look: str = ""
    open_start: bool = False
    open_end: bool = False


@dataclass(frozen=True, slots=True)
class AxisMark:
    """A point on an axis (percent), and its look."""

    x: float
    look: str
