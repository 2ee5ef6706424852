"""Who may do what: the one place that asks for a role."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.site.people import StaffRecord

EDUCATOR, CHARGE_NURSE, NURSE = "educator", "charge-nurse", "nurse"

ROLES = {EDUCATOR: "educator", CHARGE_NURSE: "charge nurse", NURSE: "nurse"}
"""Every role, and what a screen calls it."""


class Right(StrEnum):
    """What takes a role; whatever is not here, everybody may who sees the ward."""

    SEE_EVERY_WARD = "see-every-ward"
    CORRECT_OTHERS = "correct-others"
    """Correct what somebody else has charted, counted or looked at."""
    CLOSE_HELD = "close-held"
    """Close a concern for which the line must not be used."""
    DECIDE_INFECTIONS = "decide-infections"
    """Confirm or override what is proposed of an infection, and take that back."""
    SET_BASELINES = "set-baselines"
    """Enter baselines and the hour of the count."""
    KEEP_POLICY = "keep-policy"
    """Draft, approve, put in force and end versions of a policy."""
    SEE_WATCHED = "see-watched"
    """See who looked on a round, whose work was watched, and the note."""


HOLDERS: dict[Right, frozenset[str]] = {
    Right.SEE_EVERY_WARD: frozenset({EDUCATOR}),
    Right.CORRECT_OTHERS: frozenset({EDUCATOR, CHARGE_NURSE}),
    Right.CLOSE_HELD: frozenset({EDUCATOR, CHARGE_NURSE}),
    Right.DECIDE_INFECTIONS: frozenset({EDUCATOR}),
    Right.SET_BASELINES: frozenset({EDUCATOR, CHARGE_NURSE}),
    Right.KEEP_POLICY: frozenset({EDUCATOR}),
    Right.SEE_WATCHED: frozenset({EDUCATOR}),
}


def may(person: StaffRecord, right: Right) -> bool:
    """Return whether a person's role holds a right."""
    return holds(person.role, right)


def holds(role: str, right: Right) -> bool:
    """Return whether a role holds a right."""
    return role in HOLDERS[right]


def may_see_ward(person: StaffRecord, ward: str) -> bool:
    """Return whether the ward is this person's, or every ward is."""
    return person.ward in (None, ward) or may(person, Right.SEE_EVERY_WARD)


def may_correct(person: StaffRecord, entry: Entry) -> bool:
    """Return whether this person may correct the entry: one's own, or by one's role.

    A decision on an infection is taken back by those who may decide.
    """
    if entry.kind == "infection-decision":
        return may(person, Right.DECIDE_INFECTIONS)
    return may_correct_of(person, entry.by)


def may_correct_of(person: StaffRecord, by: str) -> bool:
    """Return whether this person may correct what ``by`` (a key) has written."""
    return by == person.key or may(person, Right.CORRECT_OTHERS)


def may_close(person: StaffRecord, *, is_held: bool) -> bool:
    """Return whether this person may close a concern.

    ``is_held``: the line must not be used while it stands.
    """
    return not is_held or may(person, Right.CLOSE_HELD)


def may_see_watched(person: StaffRecord, observer: str) -> bool:
    """Return whether this person may see what a look by ``observer`` (a key) watched."""
    return observer == person.key or may(person, Right.SEE_WATCHED)
