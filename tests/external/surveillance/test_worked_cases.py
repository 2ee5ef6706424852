"""Worked cases S1 to S56, in hospital days.

Each row's docstring line is its source and how far it is known: "derived" from rules
of the protocol, "published" where its pattern is an example of the protocol or of its
training, "memory" where a rule or pattern is remembered and not seen.
"""

from __future__ import annotations

from typing import Any

import pytest
from tests.external.surveillance.command import (
    ask,
    blood,
    count,
    day,
    event_of,
    fever,
    infection,
    line,
    number,
    span,
    stay,
    timeline,
)

pytestmark = pytest.mark.external

Expected = dict[str, Any]
CASES: dict[str, tuple[str, dict, dict[str, Expected]]] = {}


def case(name: str, source: str, value: dict, **events: Expected) -> None:
    """Add a worked case: source and mark, timeline, expected event of specimens."""
    CASES[name] = (source, value, events)


def lcbi(
    kind: str,
    event: int,
    window: tuple[int, int],
    repeat: tuple[int, int],
    line_day: int | None,
    location: str | None,
    *,
    clabsi: bool,
    hai: bool = True,
    excluded: tuple[str, ...] = (),
    organism: str | None = None,
    stratum: str | None = None,
) -> Expected:
    found = {
        "type": kind,
        "clabsi": clabsi,
        "healthcare_associated": hai,
        "date_of_event": event,
        "infection_window": window,
        "repeat_timeframe": repeat,
        "line_day": line_day,
        "location": location,
        "exclusions": list(excluded),
        "added_to": None,
    }
    if organism:
        found["organism"] = organism
    if stratum:
        found["birthweight_stratum"] = stratum
    return found


def clabsi(*columns: Any, **more: Any) -> Expected:
    return lcbi(*columns, clabsi=True, **more)


def not_clabsi(*columns: Any, **more: Any) -> Expected:
    return lcbi(*columns, clabsi=False, **more)


def nothing(window: tuple[int, int] | None = None) -> Expected:
    return {
        "type": "none",
        "clabsi": False,
        "date_of_event": None,
        "infection_window": window,
        "repeat_timeframe": None,
        "line_day": None,
        "location": None,
        "added_to": None,
    }


def secondary() -> Expected:
    return nothing() | {"type": "secondary"}


def added(
    to: str, window: tuple[int, int], repeat: tuple[int, int], location: str | None
) -> Expected:
    return {
        "added_to": to,
        "clabsi": False,
        "date_of_event": None,
        "infection_window": window,
        "repeat_timeframe": repeat,
        "location": location,
    }


PICU, WARD = [stay("PICU")], [stay("ward")]
DERIVED, PUBLISHED = "derived from the rules", "published example, pattern"

case(
    "S01",
    f"{DERIVED} R5, R10-R12, R15, R22",
    timeline(
        5,
        stays=PICU,
        lines=[line(2, kind="picc")],
        specimens=[blood("b", 6, "S. aureus")],
    ),
    b=clabsi("LCBI-1", 6, (3, 9), (6, 19), 5, "PICU"),
)
case(
    "S02",
    f"{DERIVED} R5, R22",
    timeline(3, lines=[line(3)], specimens=[blood("b", 4, "K. pneumoniae")]),
    b=not_clabsi("LCBI-1", 4, (1, 7), (4, 17), 2, "ward"),
)
case(
    "S03",
    f"{DERIVED} R5, R22",
    timeline(3, lines=[line(3)], specimens=[blood("b", 5, "K. pneumoniae")]),
    b=clabsi("LCBI-1", 5, (2, 8), (5, 18), 3, "ward"),
)
ONCOLOGY = [stay("oncology ward")]
FROM_HOME = line(-30, kind="tunnelled", access=1)
E_CLOACAE = blood("b1", 2, "Enterobacter cloacae")
POA = not_clabsi("LCBI-1", 2, (-2, 5), (2, 15), 2, None, hai=False)
case(
    "S04",
    f"{DERIVED} R9, R12",
    timeline(9, stays=ONCOLOGY, lines=[FROM_HOME], specimens=[E_CLOACAE]),
    b1=POA,
)
case(
    "S05",
    "analogue of a 2018 training, reversed; derived from R12",
    timeline(
        9,
        stays=ONCOLOGY,
        lines=[FROM_HOME],
        specimens=[E_CLOACAE, blood("b2", 9, "Candida albicans")],
    ),
    b1=POA,
    b2=added("b1", (6, 12), (2, 15), None),
)
case(
    "S06",
    f"{DERIVED} R12",
    timeline(
        9,
        stays=ONCOLOGY,
        lines=[FROM_HOME],
        specimens=[E_CLOACAE, blood("b2", 16, "Candida albicans")],
    ),
    b2=clabsi("LCBI-1", 16, (13, 19), (16, 29), 16, "oncology ward"),
)
case(
    "S07",
    f"{PUBLISHED} of chapter 4, table 3; memory",
    timeline(
        11,
        lines=[line(-60, kind="port", access=4)],
        specimens=[blood("b", 6, "S. aureus")],
    ),
    b=clabsi("LCBI-1", 6, (3, 9), (6, 19), 3, "ward"),
)
case(
    "S08",
    f"{DERIVED} R4, R8",
    timeline(
        11,
        lines=[line(-60, kind="port", never=True)],
        specimens=[blood("b", 7, "S. aureus")],
    ),
    b=not_clabsi("LCBI-1", 7, (4, 10), (7, 20), None, "ward"),
)
case(
    "S09",
    f"{DERIVED} R4, R9",
    timeline(
        7,
        stays=[stay("emergency department", -1, 1, inpatient=False), stay("ward")],
        lines=[line(-60, kind="port", access=-1)],
        specimens=[blood("b", 3, "P. aeruginosa")],
    ),
    b=clabsi("LCBI-1", 3, (-1, 6), (3, 16), 3, "ward"),
)
OUT_D5 = line(1, 5)
case(
    "S10",
    f"{DERIVED} R6, R22",
    timeline(2, stays=PICU, lines=[OUT_D5], specimens=[blood("b", 6, "E. faecalis")]),
    b=clabsi("LCBI-1", 6, (3, 9), (6, 19), None, "PICU"),
)
case(
    "S11",
    f"{DERIVED} R6",
    timeline(2, stays=PICU, lines=[OUT_D5], specimens=[blood("b", 7, "E. faecalis")]),
    b=not_clabsi("LCBI-1", 7, (4, 10), (7, 20), None, "PICU"),
)
case(
    "S12",
    f"{PUBLISHED} of chapter 4, table 3; memory",
    timeline(
        2,
        stays=PICU,
        lines=[line(2, 5), line(6, name="line-2")],
        specimens=[blood("b", 7, "S. marcescens")],
    ),
    b=clabsi("LCBI-1", 7, (4, 10), (7, 20), 6, "PICU"),
)
case(
    "S13",
    f"{PUBLISHED} of chapter 4, table 3; memory",
    timeline(
        2,
        stays=PICU,
        lines=[line(2, 5), line(7, name="line-2")],
        specimens=[blood("b", 8, "S. marcescens")],
    ),
    b=not_clabsi("LCBI-1", 8, (5, 11), (8, 21), 2, "PICU"),
)
CONS = "coagulase-negative staphylococci"
case(
    "S14",
    f"{DERIVED} R11, R16, R22",
    timeline(
        lines=[line(4)],
        signs=[fever(5, 38.6)],
        specimens=[blood("a", 7, CONS), blood("b", 7, CONS, draw="b")],
    ),
    a=not_clabsi("LCBI-2", 5, (4, 10), (5, 18), 2, "ward"),
)
EPI = "S. epidermidis"
case(
    "S15",
    f"{DERIVED} R16",
    timeline(
        lines=[line(1)],
        signs=[fever(9, 38.0)],
        specimens=[blood("a", 9, EPI), blood("b", 9, EPI, draw="b")],
    ),
    a=nothing((6, 12)),
    b=nothing((6, 12)),
)
case(
    "S16",
    f"{DERIVED} R17, R18, R27",
    timeline(
        child={"born": day(1), "birthweight_g": 920},
        stays=[stay("NICU")],
        lines=[line(1, kind="umbilical-venous")],
        signs=[{"at": day(8), "kind": "apnoea"}],
        specimens=[blood("a", 9, CONS), blood("b", 10, CONS)],
    ),
    a=clabsi("LCBI-3", 8, (6, 12), (8, 21), 8, "NICU", stratum="751–1000 g"),
)
case(
    "S17",
    f"{DERIVED} R18",
    timeline(
        0.33,
        stays=PICU,
        lines=[line(1)],
        signs=[fever(9, 38.9), fever(10, 38.9), fever(11, 38.9)],
        specimens=[blood("a", 9, EPI), blood("b", 11, EPI)],
    ),
    a=nothing(),
    b=nothing(),
)
case(
    "S18",
    f"{DERIVED} R19",
    timeline(
        8,
        lines=[line(1)],
        signs=[fever(9, 39)],
        specimens=[blood("a", 9, EPI), blood("b", 9, "S. hominis", draw="b")],
    ),
    a=nothing(),
    b=nothing(),
)
case(
    "S19",
    f"{PUBLISHED} of chapter 4, table 4; memory",
    timeline(
        8,
        lines=[line(1)],
        signs=[fever(9, 39)],
        specimens=[blood("a", 9, CONS), blood("b", 10, EPI)],
    ),
    a=clabsi(
        "LCBI-2", 9, (6, 12), (9, 22), 9, "ward", organism="Staphylococcus epidermidis"
    ),
)
case(
    "S20",
    f"{DERIVED} R18",
    timeline(
        8,
        lines=[line(1)],
        signs=[fever(9, 39)],
        specimens=[blood("a", 9, EPI), blood("b", 9, EPI)],
    ),
    a=nothing(),
)
case(
    "S21",
    f"{DERIVED} R10, R16",
    timeline(
        8,
        lines=[line(1)],
        signs=[fever(14, 39)],
        specimens=[blood("a", 10, EPI), blood("b", 11, EPI)],
    ),
    a=nothing((7, 13)),
)
case(
    "S22",
    f"{DERIVED} R10, R16, R18; medium confidence",
    timeline(
        8,
        lines=[line(1)],
        signs=[fever(6, 38.4)],
        specimens=[blood("x", 5, EPI), blood("a", 8, EPI), blood("b", 9, EPI)],
    ),
    x=nothing(),
    a=clabsi("LCBI-2", 6, (5, 11), (6, 19), 6, "ward"),
)
case(
    "S23",
    "list seen in a 2016 validation guidance; derived from R14",
    timeline(6, lines=[line(1)], specimens=[blood("b", 6, "Salmonella sp.")]),
    b=nothing(),
)
TUNNELLED = [line(1, kind="tunnelled")]


def leukaemia(*counts: dict, age: float = 8, **more: Any) -> dict:
    return timeline(age, stays=ONCOLOGY, lines=TUNNELLED, counts=list(counts), **more)


case(
    "S24",
    f"{DERIVED} R20, pattern of chapter 4, table 5; memory",
    leukaemia(count(8, 100), count(10, 200), specimens=[blood("b", 10, "E. coli")]),
    b=clabsi("MBI-LCBI-1", 10, (7, 13), (10, 23), 10, "oncology ward"),
)
case(
    "S25",
    f"{DERIVED} R20; memory",
    leukaemia(
        count(6, 300),
        count(8, 900),
        count(10, 400),
        count(12, 700),
        specimens=[blood("b", 10, "E. coli")],
    ),
    b=clabsi("LCBI-1", 10, (7, 13), (10, 23), 10, "oncology ward"),
)
case(
    "S26",
    f"{DERIVED} R20; memory",
    leukaemia(
        count(9, 90),
        count(10, 90),
        count(11, 90),
        specimens=[blood("b", 10, "S. aureus")],
    ),
    b=clabsi("LCBI-1", 10, (7, 13), (10, 23), 10, "oncology ward"),
)
case(
    "S27",
    f"{DERIVED} R20; memory",
    leukaemia(
        count(9, 90),
        count(10, 90),
        specimens=[blood("b", 10, "E. coli", "P. aeruginosa")],
    ),
    b=clabsi("LCBI-1", 10, (7, 13), (10, 23), 10, "oncology ward"),
)
case(
    "S28",
    f"{DERIVED} R20; memory",
    timeline(
        3,
        child={"transplants": [{"kind": "allogeneic", "on": day(-120)}]},
        stays=[stay("transplant unit")],
        lines=TUNNELLED,
        counts=[count(18, 1200), count(20, 1500)],
        gut=[{"at": day(18), "kind": "stool", "ml_24h": 260, "mass_kg": 12}],
        specimens=[blood("b", 20, "Enterococcus faecium")],
    ),
    b=clabsi("MBI-LCBI-1", 20, (17, 23), (20, 33), 20, "transplant unit"),
)
VIRIDANS = "viridans streptococci"
case(
    "S29",
    f"{DERIVED} R20; memory",
    leukaemia(
        count(11, 200, "wbc"),
        count(13, 300),
        age=14,
        signs=[fever(12, 39.1)],
        specimens=[blood("a", 12, VIRIDANS), blood("b", 12, VIRIDANS, draw="b")],
    ),
    a=clabsi("MBI-LCBI-2", 12, (9, 15), (12, 25), 12, "oncology ward"),
)
UTI = infection("uti", 5, (2, 8), "E. coli")
URINARY = {
    "lines": [line(1, kind="picc")],
    "signs": [fever(5, 38.5)],
    "other_infections": [UTI],
}
case(
    "S30",
    f"{DERIVED} R13, R21",
    timeline(10, specimens=[blood("b", 9, "E. coli")], **URINARY),
    b=secondary(),
)
case(
    "S31",
    f"{PUBLISHED} of a 2018 training; days and line are not from it",
    timeline(
        10, specimens=[blood("b", 9, "E. coli"), blood("c", 12, "S. aureus")], **URINARY
    ),
    b=secondary(),
    c=clabsi("LCBI-1", 12, (9, 15), (12, 25), 12, "ward"),
)
MOVED = [stay("PICU", 1, 8), stay("ward", 8)]
case(
    "S32",
    f"{DERIVED} R25; memory",
    timeline(
        1,
        stays=MOVED,
        lines=[line(1)],
        specimens=[blood("b", 9, "Enterobacter cloacae")],
    ),
    b=clabsi("LCBI-1", 9, (6, 12), (9, 22), 9, "PICU"),
)
case(
    "S33",
    f"{DERIVED} R25; memory",
    timeline(
        1,
        stays=MOVED,
        lines=[line(1)],
        specimens=[blood("b", 10, "Enterobacter cloacae")],
    ),
    b=clabsi("LCBI-1", 10, (7, 13), (10, 23), 10, "ward"),
)
MORNING, EVENING = f"{day(7)}T09:00:00-06:00", f"{day(7)}T18:00:00-06:00"
case(
    "S34",
    f"{DERIVED} R25, several moves; memory",
    timeline(
        0.3,
        stays=[
            stay("NICU", at_to=MORNING),
            stay("PICU", at_from=MORNING, at_to=EVENING),
            stay("ward", at_from=EVENING),
        ],
        lines=[line(1)],
        specimens=[blood("b", 8, "K. pneumoniae")],
    ),
    b=clabsi("LCBI-1", 8, (5, 11), (8, 21), 8, "NICU"),
)
case(
    "S35",
    f"{DERIVED} R6, R25; discharge wording seen of January 2015",
    timeline(
        12,
        stays=[
            stay("ward", 1, 6),
            stay("emergency department", 7, 7, inpatient=False),
            stay("short stay ward", 7),
        ],
        lines=[line(1, kind="picc")],
        specimens=[blood("b", 7, "S. aureus")],
    ),
    b=clabsi("LCBI-1", 7, (4, 10), (7, 20), None, "ward"),
)


def on_ecmo(start: int, end: int | None) -> dict:
    until = None if end is None else day(end)
    return timeline(
        4,
        stays=PICU,
        lines=[line(1)],
        devices=[{"kind": "ecmo", "from": day(start), "to": until}],
        specimens=[blood("b", 6, "Enterobacter cloacae")],
    )


case(
    "S36",
    f"{DERIVED} R23a; memory",
    on_ecmo(2, 8),
    b=not_clabsi("LCBI-1", 6, (3, 9), (6, 19), 6, "PICU", excluded=("ecmo",)),
)
case(
    "S37",
    f"{DERIVED} R23a; memory, medium confidence",
    on_ecmo(5, None),
    b=clabsi("LCBI-1", 6, (3, 9), (6, 19), 6, "PICU"),
)


def with_pus(at: int, site: str) -> dict:
    pus = {
        "at": day(at),
        "kind": "pus",
        "vascular_site": site,
        "organisms": ["S. aureus"],
    }
    return timeline(
        5, lines=[line(1)], findings=[pus], specimens=[blood("b", 6, "S. aureus")]
    )


case(
    "S38",
    f"{DERIVED} R23f; memory",
    with_pus(7, "peripheral-cannula"),
    b=not_clabsi(
        "LCBI-1", 6, (3, 9), (6, 19), 6, "ward", excluded=("pus-at-another-site",)
    ),
)
case(
    "S39",
    f"{DERIVED} R23f; memory, medium confidence",
    with_pus(6, "eligible-line"),
    b=clabsi("LCBI-1", 6, (3, 9), (6, 19), 6, "ward"),
)
SKIN = {"kind": "epidermolysis-bullosa", "on": day(1)}
case(
    "S40",
    f"{DERIVED} R23d; memory",
    timeline(
        7,
        child={"conditions": [SKIN]},
        lines=[line(1)],
        specimens=[blood("b", 10, "S. aureus")],
    ),
    b=not_clabsi(
        "LCBI-1", 10, (7, 13), (10, 23), 10, "ward", excluded=("epidermolysis-bullosa",)
    ),
)
case(
    "S41",
    f"{DERIVED} R23c; memory, medium confidence",
    timeline(
        16,
        lines=[line(1, kind="picc")],
        findings=[{"at": day(4), "kind": "self-injection", "suspected": True}],
        specimens=[blood("b", 12, "K. oxytoca")],
    ),
    b=clabsi("LCBI-1", 12, (9, 15), (12, 25), 12, "ward"),
)


def newborn(at: int) -> dict:
    return timeline(
        child={"born": day(1), "birthweight_g": 3200},
        stays=[stay("NICU")],
        lines=[line(1, kind="umbilical-venous")],
        specimens=[blood("b", at, "group B streptococcus")],
    )


case(
    "S42",
    "rule seen of January 2019; derived from R24, medium confidence",
    newborn(4),
    b=not_clabsi(
        "LCBI-1", 4, (1, 7), (4, 17), 4, "NICU", excluded=("group-b-streptococcus",)
    ),
)
case(
    "S43",
    f"{DERIVED} R24",
    newborn(9),
    b=clabsi("LCBI-1", 9, (6, 12), (9, 22), 9, "NICU"),
)
case(
    "S44",
    f"{DERIVED} R30; memory, medium confidence",
    timeline(
        7,
        stays=PICU,
        lines=[line(1)],
        specimens=[blood("m", 6, "Candida", method="molecular"), blood("c", 7)],
    ),
    m=nothing(),
)


def element(kind: str, organism: str, event: int) -> dict:
    return infection(kind, event, (event - 3, event + 3), organism) | {
        "blood_is_element": True
    }


case(
    "S45",
    f"{PUBLISHED} of the 2016 guide, scenario 2 a; age, line and days are not from it",
    timeline(
        9,
        lines=[line(1, kind="picc")],
        signs=[fever(6, 38.7)],
        other_infections=[element("intra-abdominal", "Bacteroides fragilis", 6)],
        specimens=[blood("b", 6, "Bacteroides fragilis")],
    ),
    b=secondary(),
)
case(
    "S46",
    f"{PUBLISHED} of a 2018 training; days and line are not from it",
    timeline(
        9,
        lines=[line(1, kind="picc")],
        signs=[fever(7, 38.6)],
        other_infections=[infection("uti", 7, (4, 10), "Candida albicans")],
        specimens=[
            blood("u", 7, "Candida albicans", source="urine"),
            blood("b", 8, "Candida albicans"),
        ],
    ),
    b=clabsi("LCBI-1", 8, (5, 11), (8, 21), 8, "ward"),
)
case(
    "S47",
    f"{PUBLISHED} of a 2018 training, dates turned into hospital days",
    timeline(
        9,
        other_infections=[infection("sinusitis", 4, (1, 7), "S. pneumoniae")],
        signs=[fever(8, 38.9)],
        specimens=[
            blood("a", 8, "S. pneumoniae"),
            blood("b", 8, "S. pneumoniae", draw="b"),
        ],
    ),
    a=secondary(),
    b=secondary(),
)
case(
    "S48",
    f"{DERIVED} R12",
    timeline(
        8,
        stays=PICU,
        lines=[line(1)],
        specimens=[blood("b1", 6, "S. aureus"), blood("b2", 12, "K. pneumoniae")],
    ),
    b1=clabsi("LCBI-1", 6, (3, 9), (6, 19), 6, "PICU"),
    b2=added("b1", (9, 15), (6, 19), "PICU"),
)
case(
    "S49",
    f"{DERIVED} R9, R25",
    timeline(
        5,
        lines=[line(-5, access=1)],
        specimens=[blood("b", 2, "E. coli")],
    ),
    b=not_clabsi("LCBI-1", 2, (-2, 5), (2, 15), 2, None, hai=False),
)
case(
    "S50",
    f"{DERIVED} R2, R3; memory",
    timeline(
        lines=[line(2, kind="picc", tip="elsewhere")],
        specimens=[blood("b", 8, "S. aureus")],
    ),
    b=not_clabsi("LCBI-1", 8, (5, 11), (8, 21), None, "ward"),
)
case(
    "S51",
    f"{DERIVED} R2; memory",
    timeline(lines=[line(2, kind="picc")], specimens=[blood("b", 8, "S. aureus")]),
    b=clabsi("LCBI-1", 8, (5, 11), (8, 21), 7, "ward"),
)
case(
    "S52",
    f"{DERIVED} R21c; memory, medium confidence",
    timeline(
        child={"born": day(1), "birthweight_g": 1200},
        stays=[stay("NICU")],
        lines=[
            line(1, 8, kind="umbilical-venous"),
            line(8, kind="picc", name="line-2"),
        ],
        other_infections=[infection("nec", 20, (17, 23))],
        specimens=[blood("b", 21, "E. coli")],
    ),
    b=secondary(),
)
case(
    "S53",
    f"{DERIVED} R20f; memory, low confidence",
    leukaemia(
        *(count(at, 90) for at in range(8, 21)),
        specimens=[blood("b1", 10, "E. coli"), blood("b2", 15, "S. aureus")],
    ),
    b1=clabsi("LCBI-1", 10, (7, 13), (10, 23), 10, "oncology ward"),
    b2=added("b1", (12, 18), (10, 23), "oncology ward"),
)
case(
    "S54",
    f"{DERIVED} R2, R3",
    timeline(
        4,
        stays=PICU,
        lines=[
            line(1, kind="haemodialysis"),
            line(5, 9, kind="arterial", tip="elsewhere", name="line-2"),
        ],
        specimens=[blood("b", 10, "Acinetobacter baumannii")],
    ),
    b=clabsi("LCBI-1", 10, (7, 13), (10, 23), 10, "PICU"),
)
case(
    "S55",
    f"{PUBLISHED} of a 2018 training; the absence of a line is not from it",
    timeline(
        lines=[],
        signs=[fever(1, 39.1)],
        other_infections=[infection("uti", 1, (-3, 4), "E. coli")],
        specimens=[blood("b", 1, "E. coli"), blood("c", 10, "S. aureus")],
    ),
    b=secondary(),
    c=not_clabsi("LCBI-1", 10, (7, 13), (10, 23), None, "ward"),
)
case(
    "S56",
    f"{PUBLISHED} of the 2016 guide, scenario 2 b; age, line and days are not from it",
    timeline(
        8,
        stays=PICU,
        lines=[line(1)],
        signs=[fever(6, 38.8)],
        other_infections=[element("pneumonia", "P. aeruginosa", 6)],
        specimens=[blood("b", 6, "P. aeruginosa")],
    ),
    b=secondary(),
)

SPANS = ("infection_window", "repeat_timeframe")


def in_days(event: dict) -> dict:
    """Return an event with its dates as hospital days."""
    days = {"date_of_event": number(event["date_of_event"])}
    return event | days | {key: span(event[key]) for key in SPANS}


def test_all_worked_cases_are_here() -> None:
    assert sorted(CASES) == [f"S{n:02}" for n in range(1, 57)]


@pytest.mark.parametrize("name", sorted(CASES))
def test_a_worked_case_comes_out_as_written(name: str) -> None:
    source, value, expected = CASES[name]
    events = ask(value)

    assert source
    for specimen, wanted in expected.items():
        found = in_days(event_of(events, specimen))
        assert {key: found[key] for key in wanted} == wanted, (name, specimen)


def test_an_event_names_what_to_confirm_where_it_rests_on_memory() -> None:
    [event] = ask(CASES["S24"][1])

    assert any(text.startswith("R20") for text in event["to_confirm"])
    assert all(step["rule"] and step["text"] for step in event["because"])
