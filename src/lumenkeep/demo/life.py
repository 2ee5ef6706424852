"""Live through a told child: every change, check and weighing, back from the present.

Working backwards keeps the present exactly as told, whatever came before.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any

from lumenkeep.demo.chronicle import Chronicle, DraftEntry
from lumenkeep.demo.growth import weighings, weight_before
from lumenkeep.demo.hospital import WARDS, ZONE, staff_of
from lumenkeep.demo.tape import ARMS, Tape
from lumenkeep.demo.told import ToldChild, ToldLine, days, hours

HISTORY = days(90)
CALM = ("calm", "calm", "calm", "upset, soon settled", "upset throughout")
WEIGH_EVERY = {"wren": 1, "kestrel": 3, "heron": 7}
UNITS = {ward.key: ward.unit for ward in WARDS}
GAUZE = ("gauze", "gauze-under-transparent")


def live_child(
    chronicle: Chronicle,
    rng: Random,
    told: ToldChild,
    key: str,
    line_keys: tuple[str, ...],
    bed: str,
) -> dict[str, list[DraftEntry]]:
    """Write the child's and its lines' entries; return the notes of each line by key."""
    now = chronicle.now
    came = (
        now - max(line.inserted_ago for line in told.lines) - hours(rng.uniform(2, 9))
    )
    if told.born_at is not None:
        came = max(came, told.born_at + timedelta(minutes=20))
    by = staff_of(told.ward)

    def of_child(kind: str, at: datetime, body: dict[str, Any]) -> None:
        chronicle.write(rng, key, None, kind, at, rng.choice(by), body)

    of_child("stay", came, {"ward": told.ward, "bed": bed, "unit": UNITS[told.ward]})
    if told.born_at is not None:
        local = told.born_at.astimezone(ZONE)
        born = (
            told.born_at.astimezone(UTC).isoformat()
            if told.birth_time_known
            else local.date().isoformat()
        )
        birth = {"born": born, "gestation": told.gestation}
        of_child("birth", came + timedelta(minutes=4), birth)
    if told.sensitivities is not None:
        asked = came + timedelta(minutes=25)
        of_child("sensitivities", asked, {"known": list(told.sensitivities)})
    if told.weight_now_g is not None and told.born_at is not None:
        age = (now - told.born_at) / days(1)
        for at in weighings(rng, came, now, WEIGH_EVERY[told.ward]):
            before = weight_before(told.weight_now_g, age, (now - at) / days(1))
            of_child("weight", at, {"g": before})
        last = max(came, now - hours(rng.uniform(1, 5)))
        of_child("weight", last, {"g": told.weight_now_g})
    return {
        line_key: _LineLife(chronicle, rng, told, line, key, line_key, by).live()
        for line_key, line in zip(line_keys, told.lines, strict=True)
    }


def beats(
    rng: Random, start: datetime, last: datetime, low: timedelta, high: timedelta
) -> list[datetime]:
    """Return instants from ``last`` back to ``start``, so far apart; oldest first."""
    found, at = [], last
    while at > start + low / 3:
        found.append(at)
        at -= low + (high - low) * rng.random()
    return found[::-1]


@dataclass(slots=True)
class _LineLife:
    """One line being lived through, from ``start`` to ``end`` (UTC)."""

    chronicle: Chronicle
    rng: Random
    told: ToldChild
    line: ToldLine
    child: str
    key: str
    by: list[str]
    notes: list[DraftEntry] = field(default_factory=list)

    @property
    def start(self) -> datetime:
        return self.chronicle.now - self.line.inserted_ago

    @property
    def end(self) -> datetime:
        ago = self.line.removed_ago
        return self.chronicle.now - (ago or timedelta())

    def note(self, kind: str, at: datetime, body: dict[str, Any] | None = None) -> None:
        """Write an entry, unless the line was not in then."""
        if self.start < at <= self.end or kind == "line-inserted":
            who = self.rng.choice(self.by)
            self.notes.append(
                self.chronicle.write(
                    self.rng, self.child, self.key, kind, at, who, body or {}
                )
            )

    def live(self) -> list[DraftEntry]:
        """Write all that happened to the line."""
        rng, line, start, end = self.rng, self.line, self.start, self.end
        inserted = {
            "kind": line.kind,
            "site": line.site,
            "side": line.side,
            "lumens": line.lumens,
            "external_length_mm": line.length_mm,
            "stitches": line.stitches,
            "dressing": line.dressing,
        }
        if line.site == "upper-arm" and line.length_mm is not None:
            inserted["arm"] = ARMS[0]
        self.note("line-inserted", start, inserted)
        if line.dressing is not None:
            self.dress()
        if line.found is not None:
            self.note("finding", end - line.found[1], {"findings": [line.found[0]]})
        self.hang()
        last_look, last_review = (
            hours(rng.uniform(0.3, 10)),
            hours(rng.uniform(0.5, 22)),
        )
        for at in beats(rng, start, end - last_look, hours(10), hours(13)):
            self.note("site-check", at)
        for at in beats(rng, start, end - last_review, hours(22.4), hours(23.9)):
            self.note("line-review", at, {"needed": True})
        if line.removed_ago is not None:
            self.note("line-removed", end, {"reason": line.reason_out})
        return self.notes

    def dress(self) -> None:
        """Write the dressing changes, and what was found before the early ones."""
        own = Random(f"{self.key}/tape")  # noqa: S311  invented children need no secrecy
        tape = Tape(own, self.line, self.start.date())
        for at, because, is_last in _changes(self.rng, self.line, self.start, self.end):
            if because != "planned":
                seen = at - timedelta(minutes=self.rng.randint(25, 80))
                self.note("finding", seen, {"findings": [because]})
            body = _found_and_done(self.rng, self.told, self.line, is_last=is_last)
            body |= tape.reads(is_last=is_last)
            body |= {"because": because, "assistant": self.rng.choice(self.by)}
            self.note("dressing-change", at, body)
            again = tape.again(body)
            if again is not None:
                self.second(at + timedelta(minutes=tape.rng.randint(3, 9)), again)

    def second(self, at: datetime, body: dict[str, Any]) -> None:
        """Write that another person measured the length too."""
        first = self.notes[-1]
        who = next(
            one for one in (first.body["assistant"], *self.by) if one != first.by
        )
        if self.start < at <= self.end:
            self.notes.append(
                self.chronicle.write(
                    self.rng, self.child, self.key, "site-check", at, who, body
                )
            )

    def hang(self) -> None:
        """Write the changes of connectors, sets and port needle."""
        rng, line, start, end = self.rng, self.line, self.start, self.end
        last = end - hours(rng.uniform(3, 150))
        for at in beats(rng, start, last, hours(97), hours(160)):
            self.note("connector-change", at)
        for name, kind in line.sets:
            is_daily = kind in ("lipid", "blood")
            low, high = (
                (hours(22.3), hours(23.9)) if is_daily else (hours(97), hours(160))
            )
            ago = hours(rng.uniform(1, 20) if is_daily else rng.uniform(3, 150))
            if line.set_ago is not None and kind == line.sets[-1][1]:
                ago = line.set_ago
            for at in beats(rng, start, end - ago, low, high):
                self.note("set-change", at, {"set": name, "kind": kind})
        if line.has_needle:
            last = end - (line.needle_ago or days(rng.uniform(0.3, 6)))
            for at in beats(rng, start, last, days(6.1), days(6.95)):
                self.note("needle-change", at)


def _changes(
    rng: Random, line: ToldLine, start: datetime, end: datetime
) -> list[tuple[datetime, str, bool]]:
    """Return instant and reason of each dressing change, and whether it is the last."""
    is_gauze = line.dressing in GAUZE
    low, high = (hours(30), hours(46)) if is_gauze else (days(5.4), days(6.95))
    found: list[tuple[datetime, str, bool]] = []
    at = end - (line.changed_ago or high * rng.uniform(0.03, 0.9))
    early_left = line.fails
    while at > start + hours(10):
        is_chance = not is_gauze and rng.random() < 0.13  # noqa: PLR2004
        is_early = early_left > 0 or is_chance
        early_left -= 1
        reason = rng.choice(("damp", "loose", "soiled")) if is_early else "planned"
        gap = low + (high - low) * rng.random()
        if is_early:
            gap *= rng.uniform(0.25, 0.55)
        found.append((at, reason, not found))
        at -= gap
    return found[::-1]


def _found_and_done(
    rng: Random, told: ToldChild, line: ToldLine, *, is_last: bool
) -> dict[str, Any]:
    is_broken = is_last and line.skin == "broken"
    return {
        "dressing": line.dressing,
        "agent": told.agent,
        "stitches": line.stitches if line.kind != "port" else None,
        "skin": "broken" if is_broken else "intact",
        "site": "skin broken" if is_broken else rng.choice(("healthy",) * 9 + ("red",)),
        "tolerance": rng.choice(CALM),
        "problems": "",
        "action": "",
        "outcome": "dressing holds, edges sealed",
    }
