"""Who may do what lies in one room, and says what it said when it lay in five."""

from __future__ import annotations

import ast
from pathlib import Path

import lumenkeep
from lumenkeep.ward.chart.models import StaffProfile
from lumenkeep.ward.site.people import StaffRecord
from lumenkeep.ward.site.rights import (
    HOLDERS,
    ROLES,
    Right,
    may,
    may_close,
    may_correct_of,
    may_see_ward,
    may_see_watched,
)

SOURCE = Path(lumenkeep.__file__).parent
NURSE, CHARGE, EDUCATOR = (
    StaffRecord(f"one-{role}", "Invented", role, "north", None)
    for role in ("nurse", "charge-nurse", "educator")
)


def test_each_right_is_held_by_the_roles_written_here():
    held = {
        right.value: [one.role for one in (NURSE, CHARGE, EDUCATOR) if may(one, right)]
        for right in Right
    }
    assert held == {
        "see-every-ward": ["educator"],
        "correct-others": ["charge-nurse", "educator"],
        "close-held": ["charge-nurse", "educator"],
        "decide-infections": ["educator"],
        "set-baselines": ["charge-nurse", "educator"],
        "keep-policy": ["educator"],
        "see-watched": ["educator"],
    }


def test_every_right_has_a_holder_and_every_holder_is_a_role():
    assert set(HOLDERS) == set(Right)
    for holders in HOLDERS.values():
        assert holders
        assert holders <= set(ROLES)


def test_the_roles_are_those_that_the_database_keeps():
    assert StaffProfile.Role.values == list(ROLES)


def test_a_role_that_is_unknown_holds_nothing():
    stranger = StaffRecord("x", "Invented", "", "north", None)
    assert not any(may(stranger, right) for right in Right)


def test_ones_own_needs_no_role():
    assert may_correct_of(NURSE, NURSE.key)
    assert not may_correct_of(NURSE, CHARGE.key)
    assert may_correct_of(CHARGE, NURSE.key)
    assert may_see_watched(CHARGE, CHARGE.key)
    assert not may_see_watched(CHARGE, NURSE.key)
    assert may_see_watched(EDUCATOR, NURSE.key)


def test_a_concern_that_holds_the_line_takes_a_role():
    assert may_close(NURSE, is_held=False)
    assert not may_close(NURSE, is_held=True)
    assert may_close(CHARGE, is_held=True)


def test_a_ward_is_seen_by_those_on_it_and_by_those_of_every_ward():
    assert may_see_ward(NURSE, "north")
    assert not may_see_ward(CHARGE, "south")
    assert may_see_ward(EDUCATOR, "south")
    assert may_see_ward(StaffRecord("y", "Invented", "nurse", None, None), "south")


def roles_asked(source: str) -> list[int]:
    """Return the lines on which somebody's role is compared, or its holders are read."""
    return [
        node.lineno
        for node in ast.walk(ast.parse(source))
        if (isinstance(node, ast.Compare) and _names_a_role(node))
        or (isinstance(node, ast.Subscript) and _is_named(node.value, "HOLDERS"))
    ]


def _names_a_role(compared: ast.Compare) -> bool:
    return any(
        isinstance(one, ast.Attribute) and one.attr == "role"
        for one in (compared.left, *compared.comparators)
    )


def _is_named(node: ast.expr, name: str) -> bool:
    return isinstance(node, ast.Name) and node.id == name


def test_no_other_room_asks_for_a_role():
    asking = {
        str(path.relative_to(SOURCE)): lines
        for room in ("ward", "web")
        for path in sorted((SOURCE / room).rglob("*.py"))
        if (lines := roles_asked(path.read_text(encoding="utf-8")))
    }
    assert list(asking) == ["ward/site/rights.py"]


def test_a_role_asked_for_elsewhere_is_found():
    assert roles_asked('if person.role == "educator":\n    pass\n') == [1]
    assert roles_asked("x = person.role not in SOME\n") == [1]
    assert roles_asked("x = role in HOLDERS[right]\n") == [1]
