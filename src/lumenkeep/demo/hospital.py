"""What a scenario consists of: wards, staff, children, lines, and the chart's entries."""

from __future__ import annotations

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from lumenkeep.core.model.entry import Entry
from lumenkeep.ward.site.people import StaffRecord, WardRecord

STAFF = (
    StaffRecord("s-agate", "Demo Agate", "educator", None, "6.5"),
    StaffRecord("s-beryl", "Demo Beryl", "educator", None, "7"),
    StaffRecord("s-basalt", "Demo Basalt", "charge-nurse", "kestrel", "7.5"),
    StaffRecord("s-chalk", "Demo Chalk", "nurse", "kestrel", "6"),
    StaffRecord("s-flint", "Demo Flint", "nurse", "kestrel", "8"),
    StaffRecord("s-garnet", "Demo Garnet", "nurse", "kestrel", "7"),
    StaffRecord("s-jasper", "Demo Jasper", "charge-nurse", "wren", "6.5"),
    StaffRecord("s-marble", "Demo Marble", "nurse", "wren", "6"),
    StaffRecord("s-onyx", "Demo Onyx", "nurse", "wren", "7"),
    StaffRecord("s-opal", "Demo Opal", "nurse", "wren", None),
    StaffRecord("s-pumice", "Demo Pumice", "charge-nurse", "heron", "7"),
    StaffRecord("s-quartz", "Demo Quartz", "nurse", "heron", "6.5"),
    StaffRecord("s-shale", "Demo Shale", "nurse", "heron", "8.5"),
    StaffRecord("s-slate", "Demo Slate", "nurse", "heron", "7.5"),
)
"""One glove size is left unknown, so that a plan has one to ask for."""


def staff_of(ward: str) -> list[str]:
    """Return the keys of those who work on a ward."""
    return [person.key for person in STAFF if person.ward == ward]


HOSPITAL = "Quillmere Children's"
ZONE = ZoneInfo("America/Chicago")
POLICY_SET = "quillmere"

KESTREL = WardRecord("kestrel", "Kestrel", ZONE, "intensive-care", POLICY_SET)
WREN = WardRecord("wren", "Wren", ZONE, "newborn-intensive-care", POLICY_SET)
HERON = WardRecord("heron", "Heron", ZONE, "ward", POLICY_SET)
WARDS = (KESTREL, WREN, HERON)


@dataclass(frozen=True, slots=True)
class DemoChild:
    """An invented child: key and plainly invented name."""

    key: str
    name: str


@dataclass(frozen=True, slots=True)
class DemoLine:
    """An invented line and whose it is."""

    key: str
    child: str


@dataclass(frozen=True, slots=True)
class Hospital:
    """A whole scenario; entries in the order of writing, numbered from 1."""

    wards: tuple[WardRecord, ...]
    people: tuple[StaffRecord, ...]
    children: tuple[DemoChild, ...]
    lines: tuple[DemoLine, ...]
    entries: tuple[Entry, ...]


DRAFT_BY = "s-agate"
DRAFT_WARD = "wren"
DRAFT_NUMBER = "chg-mass"
DRAFT_VALUE = 1200
DRAFT_SOURCE = "common-practice"
"""Chlorhexidine from a higher mass: some babies on the ward would then not have it."""
