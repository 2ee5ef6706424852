"""Blood that grew something, in the demo: the line's, not the line's, and not yet known.

Told after all else and from a seed of its own, so the rest of the hospital stays as it
is. Results and decisions name entries by number, which are known only once all entries
are numbered: `settle_infections` fills them in.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta
from random import Random
from typing import TYPE_CHECKING, Any

from lumenkeep.demo.chronicle import Chronicle, DraftEntry
from lumenkeep.demo.told import days, hours
from lumenkeep.ward.infections.infection import brief
from lumenkeep.ward.infections.infections_of import infections_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime, tzinfo

    from lumenkeep.core.model.entry import Entry

NO_TIP = ("gestation-unknown",)
"""Stories whose lines have no film on record: the determination asks for it."""
EDUCATOR = "s-agate"
LABORATORY = timedelta(hours=31)


@dataclass(slots=True)
class ToldInfections:
    """What was told, to be settled once the entries have numbers."""

    results: list[tuple[DraftEntry, DraftEntry]] = field(default_factory=list)
    decisions: list[tuple[DraftEntry, DraftEntry]] = field(default_factory=list)


@dataclass(slots=True)
class _Teller:
    """Writes the entries of one child."""

    chronicle: Chronicle
    rng: Random
    child: str
    by: str
    told: ToldInfections

    def write(self, kind: str, ago: timedelta, body: dict[str, Any]) -> DraftEntry:
        at = self.chronicle.now - ago
        return self.chronicle.write(self.rng, self.child, None, kind, at, self.by, body)

    def blood(self, ago: timedelta, draw: str, *grown: str) -> DraftEntry:
        """Write blood for culture, and its result where it is back."""
        body = {
            "source": "blood", "draw": draw, "method": "culture",
            "result": "pending", "organisms": [],
        }  # fmt: skip
        taken = self.write("specimen", ago, body)
        if grown and ago > LABORATORY:
            said = {"result": "grew", "organisms": list(grown), "specimen": 0}
            result = self.write("specimen-result", ago - LABORATORY, said)
            self.told.results.append((result, taken))
        return taken

    def warm(self, ago: timedelta, celsius: float) -> None:
        """Write a temperature (degC)."""
        self.write("sign", ago, {"kind": "temperature", "celsius": celsius})

    def decide(self, ago: timedelta, taken: DraftEntry, because: str) -> None:
        """Write that the educator confirmed what is proposed."""
        body = {"event": 0, "decision": "confirmed", "because": because}
        at = self.chronicle.now - ago
        note = self.chronicle.write(
            self.rng, self.child, None, "infection-decision", at, EDUCATOR, body
        )
        self.told.decisions.append((note, taken))


def tell_infections(
    chronicle: Chronicle,
    seed: str,
    children: Mapping[str, str],
    by: Mapping[str, str],
    lines: Sequence[tuple[str, str, datetime]],
) -> ToldInfections:
    """Write the infections of the stories, and where the tip of each line lies.

    Parameters
    ----------
    children
        Key of each story's child by the story's name.
    by
        Key of somebody of its ward, by the story's name.
    lines
        Key of each line, its child's, and when it was inserted (UTC).
    """
    rng = Random(f"{seed}/infections")  # noqa: S311  invented children
    told = ToldInfections()
    without = {children[story] for story in NO_TIP}
    anybody = next(iter(by.values()))
    for line, child, inserted in lines:
        if child not in without:
            at = inserted + timedelta(minutes=35)
            body = {"tip": "great-vessel"}
            chronicle.write(rng, child, line, "line-tip", at, anybody, body)
    for story, tell in STORIES.items():
        tell(_Teller(chronicle, rng, children[story], by[story], told))
    return told


def settle_infections(
    told: ToldInfections, entries: Sequence[Entry], zones: dict[str, tzinfo]
) -> None:
    """Fill in the numbers that results and decisions name, and what was decided on."""
    for result, taken in told.results:
        result.body["specimen"] = taken.id
    for note, taken in told.decisions:
        mine = [
            e
            for e in entries
            if e.child == note.child and e.kind != "infection-decision"
        ]
        found = next(
            one
            for one in infections_of(note.child, mine, zones)
            if f"e{taken.id}" in one.specimens
        )
        note.body |= {
            "event": taken.id,
            "proposal": found.digest,
            "proposed": brief(found.proposal, found.joined, found.edition),
            "verdict": found.proposed_verdict,
            "ward": found.proposal.location,
            "on": found.proposed_on.isoformat(),
        }


def _of_the_line(teller: _Teller) -> None:
    teller.warm(days(6), 38.9)
    teller.blood(days(5) + hours(20), "white lumen", "Klebsiella oxytoca")
    teller.blood(days(4), "left arm")


def _confirmed(teller: _Teller) -> None:
    teller.warm(days(31), 39.2)
    teller.blood(days(31) - hours(1), "red lumen", "Staphylococcus epidermidis")
    taken = teller.blood(
        days(30) + hours(20), "right hand", "Coagulase-negative staphylococci"
    )
    teller.decide(days(27), taken, "Seen with infection prevention.")


def _from_the_bladder(teller: _Teller) -> None:
    on = (teller.chronicle.now - days(22)).date()
    window = [
        (on - timedelta(days=3)).isoformat(),
        (on + timedelta(days=3)).isoformat(),
    ]
    body = {
        "kind": "uti", "date_of_event": on.isoformat(), "window": window,
        "organisms": ["Escherichia coli"], "blood_is_element": False,
    }  # fmt: skip
    teller.write("other-infection", days(20), body)
    teller.warm(days(22), 38.7)
    taken = teller.blood(days(21), "right arm", "E. coli")
    teller.decide(days(18), taken, "The urine grew the same.")


def _on_admission(teller: _Teller) -> None:
    body = {
        "source": "blood", "draw": "left arm", "method": "culture", "result": "grew",
        "organisms": ["Streptococcus pneumoniae"],
    }  # fmt: skip
    teller.write("specimen", hours(20), body)
    teller.warm(hours(20.5), 39.6)


def _tip_not_known(teller: _Teller) -> None:
    teller.write("sign", days(4) + hours(3), {"kind": "apnoea", "celsius": None})
    teller.blood(days(4), "PICC", "Coagulase-negative staphylococci")
    teller.blood(days(4) - hours(2), "left foot", "CoNS")


def _result_awaited(teller: _Teller) -> None:
    teller.warm(days(2) + hours(2), 38.4)
    teller.blood(days(2), "single lumen", "Staphylococcus hominis")
    teller.blood(days(1) + hours(3), "left hand")


def _of_the_gut(teller: _Teller) -> None:
    for ago, cells in ((13, 100), (11, 200), (10, 300)):
        teller.write("blood-count", days(ago), {"kind": "anc", "per_mm3": cells})
    teller.warm(days(12), 39.0)
    teller.blood(days(12) - hours(1), "first lumen", "Escherichia coli")


STORIES = {
    "overdue-femoral": _of_the_line,
    "bleeding-new-line": _on_admission,
    "gestation-unknown": _tip_not_known,
    "allergic-to-both": _from_the_bladder,
    "moved-inward": _result_awaited,
    "overdue-tunnelled": _of_the_gut,
    "two-lines": _confirmed,
}
