"""Read a hospital's wards and people from a TOML file, with every fault at once."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

import tomli

from lumenkeep.core.model.reading import Reader
from lumenkeep.core.model.words import UNITS
from lumenkeep.errors import Fault, InputError
from lumenkeep.ward.site.people import StaffRecord, WardRecord
from lumenkeep.ward.site.rights import ROLES, Right, holds

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import tzinfo

KEY = re.compile(r"[a-z][a-z0-9-]{0,38}")
SIGN_IN = re.compile(r"[a-z][a-z0-9._-]{0,60}")
EVERY_WARD = "all"
RESERVED = ("all", "gone", "new")
"""Words that an address or a form uses in a key's place."""


@dataclass(frozen=True, slots=True)
class HospitalFile:
    """Wards in the order shown, and people with the name each signs in with."""

    wards: tuple[WardRecord, ...]
    people: tuple[tuple[str, StaffRecord], ...]


def hospital_from_text(text: str, name: str) -> HospitalFile:
    """Return what a file says of a hospital.

    Parameters
    ----------
    text
        TOML with ``[[ward]]`` (key, name, zone, unit, policy) and ``[[person]]`` (key,
        sign_in, name, role, ward, glove); ward is `EVERY_WARD` for somebody who works on
        all, and an educator may leave it out.
    name
        What messages call the file.

    Raises
    ------
    InputError
        Every fault at once.
    """
    try:
        data = tomli.loads(text)
    except tomli.TOMLDecodeError as error:
        raise InputError(
            [
                Fault(
                    "hospital-not-toml",
                    f"This file cannot be read as TOML: {error}.",
                    name,
                    "mend the line named; texts stand between quotes",
                )
            ]
        ) from error
    faults: list[Fault] = []
    file = Reader(data, f"{name}: ", faults, "hospital")
    wards = [_ward(row) for row in file.rows("ward")]
    known = [ward.key for ward in wards]
    people = [_person(row, known) for row in file.rows("person")]
    file.finish()
    _once(file, "ward", known)
    _once(file, "person", (person.key for _, person in people))
    _once(file, "person", (sign_in for sign_in, _ in people), "signs in as")
    if not wards:
        file.faults.append(
            Fault(
                "hospital-missing",
                "No ward is named.",
                file.path("ward"),
                "add a [[ward]]",
            )
        )
    if faults:
        raise InputError(faults)
    return HospitalFile(tuple(wards), tuple(people))


def _ward(row: Reader) -> WardRecord:
    ward = WardRecord(
        _key(row),
        row.text("name", needed=True) or "",
        _zone(row),
        row.word("unit", tuple(UNITS), needed=True) or "ward",
        row.text("policy", needed=True) or "",
    )
    row.finish()
    return ward


def _person(row: Reader, wards: list[str]) -> tuple[str, StaffRecord]:
    sign_in = row.text("sign_in", needed=True) or ""
    if sign_in and not SIGN_IN.fullmatch(sign_in):
        row.faults.append(
            Fault(
                "hospital-bad-key",
                "What a person signs in with starts with a small letter and holds small "
                "letters, digits, dots and hyphens.",
                row.path("sign_in"),
                "write it as in j.field",
            )
        )
    key, name = _key(row), row.text("name", needed=True) or ""
    role = row.word("role", tuple(ROLES), needed=True)
    person = StaffRecord(
        key, name, role or "nurse", _ward_of(row, role, wards), row.text("glove")
    )
    row.finish()
    return sign_in, person


def _ward_of(row: Reader, role: str | None, wards: list[str]) -> str | None:
    """Return the ward of a person; None for somebody of every ward.

    A ward forgotten must not open every child's line, so only educators may leave it
    out.
    """
    is_needed = role is not None and not holds(role, Right.SEE_EVERY_WARD)
    ward = row.word("ward", (*wards, EVERY_WARD), needed=is_needed)
    return None if ward == EVERY_WARD else ward


def _key(row: Reader) -> str:
    key = row.text("key", needed=True) or ""
    if key and (not KEY.fullmatch(key) or key in RESERVED):
        row.faults.append(
            Fault(
                "hospital-bad-key",
                f"A key starts with a small letter, holds small letters, digits and "
                f"hyphens, and is none of: {', '.join(RESERVED)}.",
                row.path("key"),
                "choose another; it names no child and no person",
            )
        )
    return key


def _zone(row: Reader) -> tzinfo:
    name = row.text("zone", needed=True)
    try:
        return ZoneInfo(name or "UTC")
    except (OSError, ValueError, LookupError):
        row.faults.append(
            Fault(
                "hospital-unknown-zone",
                "This time zone is not known.",
                row.path("zone"),
                'write its name in the tz database, as in "Europe/Oslo"',
            )
        )
        return ZoneInfo("UTC")


def _once(file: Reader, key: str, names: Iterable[Any], what: str = "is") -> None:
    seen: set[str] = set()
    for name in names:
        if name and name in seen:
            file.faults.append(
                Fault(
                    "hospital-same-key",
                    f"More than one {key} {what} '{name}'.",
                    file.path(key),
                    "give each its own",
                )
            )
        seen.add(name)
