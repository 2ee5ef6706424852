"""The children who lay in the beds before, so that days of the past can be counted.

Each bed is filled backwards from whoever lies in it now. Their lines are all out and
they have gone home; one lay for a night where nobody charted.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from random import Random
from typing import TYPE_CHECKING, Any

from lumenkeep.demo.chronicle import Chronicle
from lumenkeep.demo.growth import weight_before, weight_of_age
from lumenkeep.demo.hospital import ZONE, DemoChild, DemoLine, staff_of
from lumenkeep.demo.infections import EDUCATOR
from lumenkeep.demo.life import UNITS, beats
from lumenkeep.demo.told import days, hours

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.demo.chronicle import DraftEntry
    from lumenkeep.demo.infections import ToldInfections
    from lumenkeep.demo.told import ToldChild

SINCE = days(128)
STAYS = {"kestrel": (4, 16), "wren": (10, 36), "heron": (5, 20)}
"""Fewest and most days of a stay; made up to look right."""
KINDS = {
    "kestrel": (("non-tunnelled", "internal-jugular"), ("picc", "upper-arm")),
    "wren": (("picc", "upper-arm"), ("umbilical-venous", "umbilical")),
    "heron": (("tunnelled", "chest"), ("picc", "upper-arm"), ("port", "chest")),
}
WITH_LINE = {"kestrel": 0.62, "wren": 0.45, "heron": 0.85}
LOST_WARD, LOST_NIGHT = "heron", days(40)
INFECTED = {"kestrel": (4, 21), "wren": (5,), "heron": (3, 24)}
"""Which of the ward's past children with a line long enough had an infection of it."""
LONG_ENOUGH = days(6)
FAILS, CHARTED_DAILY = 0.16, 0.3
GROWN = ("Staphylococcus aureus", "Enterobacter cloacae", "Candida albicans")
KEY_BITS = 40


@dataclass(slots=True)
class _Past:
    """One stay of the past, being written."""

    chronicle: Chronicle
    rng: Random
    key: str
    ward: str
    bed: str
    came: datetime
    left: datetime

    def note(
        self, kind: str, at: datetime, body: dict[str, Any], line: str | None = None
    ) -> DraftEntry:
        by = self.rng.choice(staff_of(self.ward))
        return self.chronicle.write(self.rng, self.key, line, kind, at, by, body)

    def lie(self, at: datetime) -> None:
        """Write that the child lies in its bed."""
        body = {"ward": self.ward, "bed": self.bed, "unit": UNITS[self.ward]}
        self.note("stay", at, body)

    def live(self) -> tuple[str, datetime, datetime] | None:
        """Write the stay; return the line and when it was in, for most."""
        self.lie(self.came)
        self._be_born()
        line = self._have_a_line() if self.rng.random() < WITH_LINE[self.ward] else None
        # Some are charted daily; that is enough for no day of the ward to be silent.
        is_daily = self.rng.random() < CHARTED_DAILY
        apart = (hours(19), hours(23)) if is_daily else (hours(60), hours(80))
        for at in beats(self.rng, self.came, self.left - hours(1), *apart):
            if line is not None and line[1] < at < line[2]:
                self.note("line-review", at, {"needed": True}, line[0])
            else:
                self.note("sensitivities", at, {"known": []})
        self.note("stay", self.left, {"ward": None, "bed": None, "to": "home"})
        return line

    def _be_born(self) -> None:
        is_newborn = self.ward == "wren"
        rng = self.rng
        age = rng.uniform(0.02, 0.3) if is_newborn else 365.25 * rng.uniform(0.5, 15)
        weeks = rng.randint(25, 39) if is_newborn else 39
        born = self.came - days(age)
        at = born if is_newborn else born.astimezone(ZONE).date()
        gestation = f"{weeks}w{rng.randint(0, 6)}d" if is_newborn else None
        birth = {"born": at.isoformat(), "gestation": gestation}
        self.note("birth", self.came + timedelta(minutes=4), birth)
        weighed = born + timedelta(minutes=9) if is_newborn else self.came + hours(1)
        self.note("weight", weighed, {"g": weight_of_age(rng, age, weeks)})

    def _have_a_line(self) -> tuple[str, datetime, datetime]:
        rng = self.rng
        line = f"l-{rng.getrandbits(KEY_BITS):010x}"
        inserted = self.came + hours(rng.uniform(1, 20))
        out = max(self.left - hours(rng.uniform(2, 30)), inserted + hours(18))
        kind, site = rng.choice(KINDS[self.ward])
        body = {
            "kind": kind, "site": site, "side": rng.choice(("left", "right")),
            "lumens": 1, "dressing": "transparent", "stitches": 0,
        }  # fmt: skip
        self.note("line-inserted", inserted, body, line)
        self.note("line-tip", inserted + hours(1), {"tip": "great-vessel"}, line)
        self.note("line-removed", out, {"reason": "no longer needed"}, line)
        self._dress(line, inserted, out)
        return line, inserted, out

    def _dress(self, line: str, inserted: datetime, out: datetime) -> None:
        """Write the changes of its dressing; some come early, because it failed."""
        rng = self.rng
        agent = "povidone-iodine" if self.ward == "wren" else "chlorhexidine-alcohol"
        at = inserted
        while True:
            failed = rng.random() < FAILS
            at += days(rng.uniform(1, 4) if failed else rng.uniform(5.6, 6.95))
            if at > out - hours(2):
                return
            because = rng.choice(("damp", "loose", "soiled")) if failed else "planned"
            if failed:
                seen = at - timedelta(minutes=rng.randint(20, 70))
                self.note("finding", seen, {"findings": [because]}, line)
            body = {
                "dressing": "transparent", "agent": agent, "stitches": 0,
                "skin": "intact", "site": "healthy", "because": because,
                "assistant": rng.choice(staff_of(self.ward)),
            }  # fmt: skip
            self.note("dressing-change", at, body, line)

    def lose_for_a_night(self, night: datetime) -> None:
        """Let the child lie where nobody charted, and come back."""
        self.note("stay", night, {"bed": None})
        self.lie(night + hours(26))

    def infect(self, at: datetime, told: ToldInfections) -> None:
        """Write blood that grew something, and that it was confirmed."""
        body = {
            "source": "blood", "draw": "first lumen", "method": "culture",
            "result": "grew", "organisms": [self.rng.choice(GROWN)],
        }  # fmt: skip
        taken = self.note("specimen", at, body)
        self.note("sign", at - hours(2), {"kind": "temperature", "celsius": 38.9})
        decision = {"event": 0, "decision": "confirmed", "because": "Seen together."}
        note = self.chronicle.write(
            self.rng, self.key, None, "infection-decision", at + days(4), EDUCATOR,
            decision,
        )  # fmt: skip
        told.decisions.append((note, taken))


def earlier(
    chronicle: Chronicle, seed: str, names: Sequence[str], told: ToldInfections
) -> tuple[list[DemoChild], list[DemoLine]]:
    """Write the stays of the past; return the children and their lines.

    Parameters
    ----------
    chronicle
        Holds the stays of the children who are there now.
    names
        To be numbered on: "Demo Ash 2" is another child than Demo Ash.
    told
        Takes up the infections of the past, to be settled.
    """
    children: list[DemoChild] = []
    lines: list[DemoLine] = []
    long_lines = dict.fromkeys(STAYS, 0)
    is_lost = False
    night = chronicle.now - LOST_NIGHT
    present = [note for note in chronicle.notes if note.kind == "stay"]
    for note in present:
        ward, bed = note.body["ward"], note.body["bed"]
        rng = Random(f"{seed}/earlier/{ward}/{bed}")  # noqa: S311
        until = note.happened_at - hours(rng.uniform(6, 90))
        while until > chronicle.now - SINCE:
            key = f"c-{rng.getrandbits(KEY_BITS):010x}"
            number = len(children)
            name = f"Demo {names[number % len(names)]} {number // len(names) + 2}"
            children.append(DemoChild(key, name))
            came = until - days(rng.uniform(*STAYS[ward]))
            past = _Past(chronicle, rng, key, ward, bed, came, until)
            line = past.live()
            if line is not None:
                lines.append(DemoLine(line[0], key))
            if line is not None and line[2] - line[1] > LONG_ENOUGH:
                if long_lines[ward] in INFECTED[ward]:
                    past.infect(line[1] + days(4.5), told)
                long_lines[ward] += 1
            if ward == LOST_WARD and not is_lost and came < night < until - days(2):
                past.lose_for_a_night(night)
                is_lost = True
            until = came - hours(rng.uniform(6, 90))
    return children, lines


def birth_weights(
    chronicle: Chronicle, seed: str, told: Sequence[tuple[str, ToldChild]]
) -> None:
    """Write what the newborns of the wards weighed when they were born.

    Those without a weight, or without an instant of birth, go without: a group for
    birthweights that nobody charted is part of the scenario.
    """
    for key, child in told:
        if child.ward != "wren" or child.born_at is None or child.weight_now_g is None:
            continue
        if not child.birth_time_known:
            continue
        rng = Random(f"{seed}/born/{key}")  # noqa: S311
        age = (chronicle.now - child.born_at) / days(1)
        grams = weight_before(child.weight_now_g, age, age)
        at = child.born_at + timedelta(minutes=15)
        chronicle.write(rng, key, None, "weight", at, staff_of("wren")[0], {"g": grams})
