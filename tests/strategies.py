"""Hypothesis strategies shared by the tests: invented children, lines and instants.

Ages, masses and gestations crowd around the limits that policies draw, where a wrong
sign would show; any fact may be unknown.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from typing import TYPE_CHECKING, Any, TypeVar
from zoneinfo import ZoneInfo

from hypothesis import strategies as st

from lumenkeep.core.model import (
    NEVER_CHARTED,
    NOT_GIVEN,
    SAID_UNKNOWN,
    Birth,
    Case,
    Child,
    Dressing,
    Finding,
    Gestation,
    InfusionSet,
    Line,
    People,
    Person,
    Unknown,
    Weight,
)
from lumenkeep.core.model import words as lists

if TYPE_CHECKING:
    from collections.abc import Sequence

T = TypeVar("T")

ZONES: tuple[tzinfo, ...] = (
    UTC,
    timezone(timedelta(hours=-6)),
    timezone(timedelta(hours=5, minutes=45)),
    ZoneInfo("America/New_York"),
    ZoneInfo("Europe/London"),
    ZoneInfo("Australia/Lord_Howe"),
    ZoneInfo("Pacific/Apia"),
)
TURNING_DAYS = (0, 7, 8, 14, 28, 56, 59, 60, 61, 62, 90, 365, 366, 730)
TURNING_GRAMS = (999, 999.9, 1000, 1001, 1499, 1500, 2000)
TURNING_GESTATIONS = (195, 196, 223, 224, 237, 238, 258, 259)  # 27w6d … 37w0d
GLOVES = ("5.5", "6", "6.5", "7", "7.5", "8")

unknowns = st.sampled_from((NOT_GIVEN, SAID_UNKNOWN, NEVER_CHARTED))
zones = st.sampled_from(ZONES)


def minutes(low: timedelta, high: timedelta) -> st.SearchStrategy[timedelta]:
    """Return spans of whole minutes from ``low`` to ``high``."""
    first, last = (int(span.total_seconds() // 60) for span in (low, high))
    return st.integers(first, last).map(lambda count: timedelta(minutes=count))


instants = minutes(timedelta(), timedelta(days=5 * 365)).map(
    lambda span: datetime(2025, 1, 1, tzinfo=UTC) + span
)
ages = st.one_of(
    minutes(timedelta(), timedelta(days=15)),
    minutes(timedelta(), timedelta(days=75)),
    minutes(timedelta(days=75), timedelta(days=18 * 366)),
    st.builds(
        lambda days, off: max(timedelta(days=days, minutes=off), timedelta()),
        st.sampled_from(TURNING_DAYS),
        st.integers(-61, 61),
    ),
)
exact_gestations = st.one_of(
    st.sampled_from(TURNING_GESTATIONS), st.integers(22 * 7, 42 * 7)
).map(lambda days: Gestation(days, days))
gestations = st.one_of(
    exact_gestations,
    st.integers(22, 41).map(lambda weeks: Gestation.read(f"{weeks}w")),
)
grams = st.one_of(
    st.sampled_from(TURNING_GRAMS),
    st.integers(400, 6000),
    st.floats(400, 3000).map(lambda mass: round(mass, 1)),
    st.integers(6000, 90_000),
)
sensitivities = st.frozensets(
    st.sampled_from((*lists.SENSITIVITIES, "an-invented-gum")), max_size=3
)
skins = st.sampled_from(tuple(lists.SKIN))
units = st.sampled_from(tuple(lists.UNITS))
line_kinds = st.sampled_from(tuple(lists.LINE_KINDS))
sites = st.sampled_from(tuple(lists.SITES))
dressing_kinds = st.sampled_from(tuple(lists.DRESSINGS))
set_kinds = st.sampled_from(tuple(lists.SET_KINDS))


def or_unknown(known: st.SearchStrategy[T]) -> st.SearchStrategy[T | Unknown]:
    """Return a fact that is known about twice in three times."""
    return st.one_of(known, known, unknowns)


def earlier(at: datetime, days: int = 20) -> st.SearchStrategy[datetime]:
    """Return an instant not later than ``at``."""
    return minutes(timedelta(), timedelta(days=days)).map(lambda span: at - span)


@st.composite
def births(draw: st.DrawFn, at: datetime, zone: tzinfo) -> Birth:
    """Return a birth before ``at``: to the minute, or the date alone."""
    moment = at - draw(ages)
    if draw(st.booleans()):
        return Birth.at(moment)
    born = Birth.on(moment.astimezone(zone).date(), zone)
    return born if born.earliest <= at else Birth.at(moment)


def findings(at: datetime) -> st.SearchStrategy[tuple[Finding, ...]]:
    """Return what was found on a dressing until ``at``."""
    one = st.builds(
        Finding,
        st.sampled_from(tuple(lists.FINDINGS)),
        st.one_of(st.none(), earlier(at, 9)),
    )
    return st.lists(one, max_size=2).map(tuple)


@dataclass(frozen=True)
class Asked:
    """A case and the instant it is asked about; nothing in it is later."""

    case: Case
    at: datetime


@st.composite
def children(draw: st.DrawFn, at: datetime, zone: tzinfo) -> Child:
    """Return a child born before ``at``."""
    weighings = st.builds(Weight, earlier(at, 3), grams)
    return Child(
        born=draw(or_unknown(births(at, zone))),
        gestation_at_birth=draw(or_unknown(gestations)),
        weights=tuple(
            sorted(draw(st.lists(weighings, max_size=2)), key=lambda w: w.at)
        ),
        sensitivities=draw(or_unknown(sensitivities)),
        skin_at_site=draw(or_unknown(skins)),
        unit=draw(or_unknown(units)),
    )


@st.composite
def lines(draw: st.DrawFn, at: datetime) -> Line:
    """Return a line in use at ``at``."""
    hung = st.builds(InfusionSet, or_unknown(set_kinds), or_unknown(earlier(at)))
    return Line(
        kind=draw(or_unknown(line_kinds)),
        site=draw(or_unknown(sites)),
        inserted=draw(or_unknown(earlier(at, 40))),
        lumens=draw(or_unknown(st.integers(1, 3))),
        external_length_mm=draw(or_unknown(st.integers(0, 300))),
        stitches=draw(or_unknown(st.integers(0, 4))),
        dressing=Dressing(
            kind=draw(or_unknown(dressing_kinds)),
            applied=draw(or_unknown(earlier(at, 10))),
            findings=draw(or_unknown(findings(at))),
        ),
        connectors_changed=draw(or_unknown(earlier(at))),
        sets=draw(or_unknown(st.lists(hung, max_size=2).map(tuple))),
        needle_changed=draw(or_unknown(earlier(at))),
        reviewed=draw(or_unknown(earlier(at, 3))),
        inspected=draw(or_unknown(earlier(at, 3))),
    )


people = st.builds(
    People,
    st.builds(Person, or_unknown(st.sampled_from(GLOVES))),
    st.builds(Person, or_unknown(st.sampled_from(GLOVES))),
)


@st.composite
def asked(draw: st.DrawFn) -> Asked:
    """Return a case in which any fact may be unknown, and an instant."""
    at, zone = draw(instants), draw(zones)
    return Asked(
        Case(draw(children(at, zone)), draw(lines(at)), draw(people), zone), at
    )


def _filled(draw: st.DrawFn, fact: Any, known: st.SearchStrategy[Any]) -> Any:
    return draw(known) if isinstance(fact, Unknown) else fact


@st.composite
def completions(draw: st.DrawFn, partial: Asked) -> Case:
    """Return the case with every unknown fact that rules read made known.

    What was known stays; a birth date becomes an instant of that day, whole weeks of
    gestation one of their days. A mass nobody charted is one that a child of that
    age may have.
    """
    case, at = partial.case, partial.at
    child, line = case.child, case.line
    born = child.born
    if isinstance(born, Unknown):
        born = Birth.at(at - draw(ages))
    elif not born.is_exact:
        latest = min(born.latest - timedelta(minutes=1), at)
        span = max(latest - born.earliest, timedelta())
        born = Birth.at(born.earliest + draw(minutes(timedelta(), span)))
    gestation = child.gestation_at_birth
    if isinstance(gestation, Unknown):
        gestation = draw(exact_gestations)
    elif gestation.days != gestation.until:
        exact = draw(st.integers(gestation.days, gestation.until))
        gestation = Gestation(exact, exact)
    weights = child.weights
    if not weights:
        grown = at - born.earliest >= timedelta(days=365)
        mass = draw(st.integers(2000, 60_000) if grown else grams)
        weights = (Weight(at, mass),)
    return replace(
        case,
        child=Child(
            born=born,
            gestation_at_birth=gestation,
            weights=weights,
            sensitivities=_filled(draw, child.sensitivities, sensitivities),
            skin_at_site=_filled(draw, child.skin_at_site, skins),
            unit=_filled(draw, child.unit, units),
        ),
        line=replace(
            line,
            kind=_filled(draw, line.kind, line_kinds),
            site=_filled(draw, line.site, sites),
            lumens=_filled(draw, line.lumens, st.integers(1, 3)),
            dressing=replace(
                line.dressing,
                findings=_filled(draw, line.dressing.findings, findings(at)),
            ),
        ),
    )


@st.composite
def asked_and_completed(draw: st.DrawFn) -> tuple[Asked, Case]:
    """Return a case with unknown facts and one of its completions."""
    partial = draw(asked())
    return partial, draw(completions(partial))


# ---------------------------------------------------------------- case files

NOTHING = object()
JUNK: tuple[Any, ...] = (
    None, True, False, 0, -1, 7, 2.5, 1e300, "", " ", "?", [], {}, [None], {"a": 1},
)  # fmt: skip


def _spoiled(good: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """Return a good value mostly, nothing at all often, and now and then junk."""
    return st.one_of(good, good, st.just(NOTHING), st.sampled_from(JUNK))


def _table(**keys: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    made = st.fixed_dictionaries({key: _spoiled(value) for key, value in keys.items()})
    return made.map(
        lambda table: {k: v for k, v in table.items() if v is not NOTHING}
    ).flatmap(_perhaps_stranger)


def _perhaps_stranger(table: dict[str, Any]) -> st.SearchStrategy[dict[str, Any]]:
    def add(key: str | None) -> dict[str, Any]:
        return table if key is None else {**table, key: 1}

    return st.sampled_from((None,) * 20 + ("knid", "x")).map(add)


def instant_texts(
    first: datetime = datetime(2026, 1, 1, tzinfo=UTC), days: int = 9
) -> st.SearchStrategy[Any]:
    """Return instants as files write them, right and wrong."""
    good = minutes(timedelta(), timedelta(days=days)).map(lambda span: first + span)
    forms: Sequence[Any] = (
        lambda at: at.isoformat(),
        lambda at: at.isoformat(timespec="minutes"),
        lambda at: at.isoformat().replace("+00:00", "Z"),
        lambda at: at.astimezone(timezone(timedelta(hours=-6))).isoformat(),
        lambda at: f" {at.isoformat()} ",
        lambda at: at.isoformat().lower(),
        lambda at: (at + timedelta(microseconds=250_000)).isoformat(),
    )
    wrong: Sequence[Any] = (
        lambda at: at.isoformat().replace("T", " "),
        lambda at: at.replace(tzinfo=None).isoformat(),
        lambda at: at.isoformat().replace("+00:00", "+0000"),
        lambda at: at.isoformat().replace("+00:00", "+00"),
        lambda at: at.isoformat().replace("+00:00", "+00:00:30"),
        lambda at: at.strftime("%Y%m%dT%H%M%SZ"),
        lambda at: at.strftime("%G-W%V-%uT%H:%M:%SZ"),
        lambda at: at.strftime("%Y-%m-%dT%H:%M:%S,5Z"),
        lambda at: at.strftime("%Y-%m-%dT%HZ"),
        lambda at: at.strftime("%Y-%m-%dT%H:%M:%S.123456789Z"),
        lambda at: at.date().isoformat(),
        lambda at: at.timestamp(),
    )
    return st.one_of(
        st.builds(lambda form, at: form(at), st.sampled_from(forms), good),
        st.builds(lambda form, at: form(at), st.sampled_from(forms), good),
        st.builds(lambda form, at: form(at), st.sampled_from(wrong), good),
    )


def _word(words: dict[str, str]) -> st.SearchStrategy[str]:
    return st.sampled_from((*words, *words, "Intact", "picc ", "tranparent"))


_births = st.one_of(
    instant_texts(datetime(2025, 11, 1, tzinfo=UTC), 30),
    st.sampled_from(
        ("2025-12-01", " 2025-12-01 ", "20251201", "2025-W49-1", "1.12.2025")
    ),
)
_gestation_texts = st.sampled_from(
    (
        "27w3d",
        "27w",
        "40w0d",
        " 28 W 0 D ",
        "27w7d",
        "27",
        "27+3",
        "w3d",
        "27w3",
        "127w3d",
    )
)
_findings = st.one_of(
    _word(lists.FINDINGS),
    _table(kind=_word(lists.FINDINGS), at=instant_texts()),
)
_person = _table(
    glove=st.sampled_from(
        ("6.5", "7", "7.0", " 7.5 ", 6.5, 7, 7.0, "6.50", "12", 12, 6.7, "7,5", True)
    )
)
case_values: st.SearchStrategy[dict[str, Any]] = _table(
    zone=st.sampled_from(("America/Chicago", "UTC", "Europe/London")),
    child=_table(
        born=_births,
        gestation_at_birth=_gestation_texts,
        weights=st.lists(
            _table(
                at=instant_texts(),
                g=st.sampled_from((940, 1000.5, 150, 149.9, 300_000, 300_001)),
            ),
            max_size=2,
        ),
        sensitivities=st.lists(
            st.sampled_from(
                ("chlorhexidine", "CHG", "Latex", "an invented gum", "", " ", 3, None)
            ),
            max_size=2,
        ),
        skin_at_site=_word(lists.SKIN),
        unit=_word(lists.UNITS),
    ),
    line=_table(
        kind=_word(lists.LINE_KINDS),
        site=_word(lists.SITES),
        inserted=instant_texts(datetime(2025, 12, 15, tzinfo=UTC), 10),
        lumens=st.sampled_from((1, 2, 6, 7, 0, 2.0, 1.5)),
        external_length_mm=st.sampled_from((0, 20, 20.5, 1000, 1001, -1)),
        stitches=st.sampled_from((0, 2, 12, 13, 2.0, 2.5)),
        dressing=_table(
            kind=_word(lists.DRESSINGS),
            applied=instant_texts(),
            findings=st.lists(_findings, max_size=2),
        ),
        connectors_changed=instant_texts(),
        sets=st.lists(
            _table(kind=_word(lists.SET_KINDS), changed=instant_texts()), max_size=2
        ),
        needle_changed=instant_texts(),
        reviewed=instant_texts(),
        inspected=instant_texts(),
    ),
    people=_table(operator=_person, assistant=_person),
)
