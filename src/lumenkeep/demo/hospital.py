"""What a scenario consists of: wards, children, lines, people and the chart's entries."""

from __future__ import annotations

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from lumenkeep.core.model.entry import Entry
from lumenkeep.ward.site.people import StaffRecord, WardRecord

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
