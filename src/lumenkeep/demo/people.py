"""Invented staff of the demo hospital, with the gloves that fit them."""

from __future__ import annotations

from lumenkeep.ward.site.people import StaffRecord

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
