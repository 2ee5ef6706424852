"""What a person sends with a form: the one thing that every action is handed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from lumenkeep.ward.site.people import StaffRecord


@dataclass(frozen=True, slots=True)
class Sent:
    """A form as sent.

    Attributes
    ----------
    typed, ticked
        The text of each field, and every value ticked where several may be.
    by
        Who is signed in and sent it.
    submission
        Key to write under: sent twice, it is written once.
    """

    typed: Mapping[str, str]
    by: StaffRecord
    submission: str
    ticked: Mapping[str, Sequence[str]] = field(default_factory=dict)
