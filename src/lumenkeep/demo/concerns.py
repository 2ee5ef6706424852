"""What was found on the demo's lines, and what the staff did about it.

Everything older than half a day has been settled; the stories leave open a line that
has moved and was handed on overnight, a site that is getting worse, skin that nobody
has looked after in time, and a worry raised by hand.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random
from statistics import median
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries import line_state
from lumenkeep.core.policy import Situation, load_policy
from lumenkeep.core.watch.concerns_found import found_concerns
from lumenkeep.core.watch.concerns_life import acts_by_key
from lumenkeep.demo.chronicle import Chronicle, DraftEntry
from lumenkeep.demo.hospital import POLICY_SET, ZONE, staff_of
from lumenkeep.demo.told import hours

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.watch.concerns import FoundConcern

MOVED = ("moved-outward", "moved-inward")
"""Stories of which the concerns are told one by one."""
SETTLED_BEFORE = hours(12)
MOST_ROUNDS = 40
AGAIN = "length-doubtful"
AGAIN_NOTE = "Measured again by a second person, the arm the same: as before."
SETTLING_NOTES = (
    "Seen with the prescriber; watched over the next shift and better.",
    "Swab taken, nothing grew; redness gone the next day.",
    "Second person looked too; no change, then better.",
)
WORSE: tuple[tuple[float, list[str]], ...] = (
    (30.0, []),
    (18.0, ["red"]),
    (6.0, ["red", "painful"]),
    (0.6, ["red", "painful", "discharge"]),
)
"""Hours ago, and what was seen at a site that gets worse."""


@dataclass(slots=True)
class ConcernActs:
    """Acts noted so far, each with the rule and the note that it is about."""

    chronicle: Chronicle
    rows: list[tuple[DraftEntry, str, DraftEntry]] = field(default_factory=list)

    def add(
        self,
        rng: Random,
        about: tuple[str, DraftEntry],
        kind: str,
        at: datetime,
        by: str,
        **body: Any,
    ) -> DraftEntry:
        """Note an act on the concern that a rule raised from a note."""
        rule, target = about
        note = self.chronicle.write(
            rng, target.child, target.line, f"concern-{kind}", at, by, body
        )
        self.rows.append((note, rule, target))
        return note

    def name_them(self) -> None:
        """Write into each act the key of its concern, once notes are numbered."""
        for note, rule, target in self.rows:
            note.body["concern"] = f"{rule}:{target.id}"


def tell_concerns(
    chronicle: Chronicle,
    seed: str,
    lines: Mapping[str, Sequence[str]],
    wards: Mapping[str, str],
) -> ConcernActs:
    """Note the findings of the stories, and what was done about every finding.

    Parameters
    ----------
    lines
        Line keys of each story.
    wards
        Ward of each child by its key.
    """
    acts = ConcernActs(chronicle)
    rng = Random(f"{seed}/concerns")  # noqa: S311  invented children need no secrecy
    stories = {key for name in MOVED for key in lines.get(name, ())}
    of_child: dict[str, list[DraftEntry]] = {}
    of_line: dict[str, list[DraftEntry]] = {}
    for note in chronicle.notes:
        where = of_child if note.line is None else of_line
        where.setdefault(note.line or note.child, []).append(note)
    for key, notes in of_line.items():
        if key in stories:
            continue
        child = notes[0].child
        by = staff_of(wards.get(child, "")) or staff_of("heron")
        _settle(acts, rng, [*of_child.get(child, ()), *notes], by)
    _hand_on_overnight(acts, rng, of_line, lines)
    _confirm_tip(acts, rng, of_line, lines)
    _tell_looks(acts, rng, lines)
    return acts


def _tell_looks(
    acts: ConcernActs, rng: Random, lines: Mapping[str, Sequence[str]]
) -> None:
    """Note the looks that show something in the stories, and who has taken it on."""
    chronicle, now = acts.chronicle, acts.chronicle.now
    first = {note.line: note for note in chronicle.notes if note.line}

    def look(story: str, ago: float, kind: str, body: dict[str, Any]) -> DraftEntry:
        key = lines[story][-1]
        note = first[key]
        at = now - hours(ago)
        return chronicle.write(rng, note.child, key, kind, at, note.by, body)

    looks = [look("early-failures", a, "site-check", {"signs": s}) for a, s in WORSE]
    for rule, note, label in (
        ("site-inflamed", looks[1], "Site looks inflamed"),
        ("site-worse", looks[2], "Site is getting worse"),
    ):
        at = note.happened_at + hours(0.5)
        said = {"label": label, "says": "", "note": "Prescriber told."}
        acts.add(rng, (rule, note), "acknowledged", at, "s-garnet", **said)
    look("just-under-1000-g", 10.5, "site-check", {"signs": ["skin-torn"]})
    worry = "His mother says the arm looks bigger than yesterday."
    look("two-lines", 0.7, "concern-raised", {"what": worry, "note": ""})


def _settle(
    acts: ConcernActs, rng: Random, notes: list[DraftEntry], by: Sequence[str]
) -> None:
    """Have everything found on one line long enough ago taken on and closed."""
    now = acts.chronicle.now
    for _ in range(MOST_ROUNDS):
        open_ones = [
            (found, note)
            for found, note in _unsettled(acts, notes)
            if found.since < now - SETTLED_BEFORE
        ]
        if not open_ones:
            return
        found, note = open_ones[0]
        about = (found.duty.rule, note)
        taken = found.since + hours(rng.uniform(0.15, 0.9))
        closed = max(found.last_at, taken) + hours(rng.uniform(4, 11))
        said = {"label": found.duty.label, "says": found.says}
        one = rng.choice(by)
        if found.duty.rule == AGAIN:
            notes.append(_measured_again(acts, rng, notes, note, taken, one))
        done = [acts.add(rng, about, "acknowledged", taken, one, note="", **said)]
        what = AGAIN_NOTE if found.duty.rule == AGAIN else rng.choice(SETTLING_NOTES)
        outcome = "tip-confirmed" if found.duty.is_of_length else "settled"
        done.append(
            acts.add(
                rng, about, "closed", min(closed, now - hours(1)), one,
                outcome=outcome, note=what, **said,
            )
        )  # fmt: skip
        notes.extend(done)


def _measured_again(
    acts: ConcernActs, rng: Random, notes: Sequence[DraftEntry], first: DraftEntry, at: datetime,
    by: str,
) -> DraftEntry:  # fmt: skip
    """Note a second measurement, the arm as at the doubtful one, near those before."""
    arm = first.body.get("arm")
    before = [
        note.body["external_length_mm"]
        for note in notes
        if note.happened_at < first.happened_at
        and note.body.get("external_length_mm") is not None
        and note.body.get("arm") == arm
    ]
    body = {
        "external_length_mm": round(
            median(before or [first.body["external_length_mm"]])
        )
    }
    if arm is not None:
        body["arm"] = arm
    return acts.chronicle.write(
        rng, first.child, first.line, "site-check", at, by, body
    )


def _unsettled(
    acts: ConcernActs, notes: Sequence[DraftEntry]
) -> Iterable[tuple[FoundConcern, DraftEntry]]:
    """Return what is found on one line and not acted on, with the note that shows it."""
    entries = Chronicle(acts.chronicle.now, list(notes)).entries(POLICY_SET)
    acts.name_them()
    done = acts_by_key(entries)
    by_id = {note.id: note for note in notes}
    found = _found(entries, acts.chronicle.now)
    return [
        (one, by_id[int(one.key.split(":")[1])]) for one in found if one.key not in done
    ]


def _found(entries: Sequence[Entry], now: datetime) -> Sequence[FoundConcern]:
    policy = load_policy(POLICY_SET)
    if not any(entry.kind == "line-inserted" for entry in entries):
        return ()
    situation = Situation(line_state(entries, now, ZONE).case, now)
    return found_concerns(
        entries,
        lambda entry: policy.on(entry.happened_at.astimezone(ZONE).date()),
        situation.later,
        ZONE,
    )


def _moved(notes: Iterable[DraftEntry]) -> DraftEntry:
    """Return the change at which a line was found to have moved: the last one."""
    changes = [note for note in notes if note.kind == "dressing-change"]
    return max(changes, key=lambda note: (note.happened_at, note.written_at))


def _hand_on_overnight(
    acts: ConcernActs,
    rng: Random,
    of_line: Mapping[str, Sequence[DraftEntry]],
    lines: Mapping[str, Sequence[str]],
) -> None:
    now = acts.chronicle.now
    for key in lines.get("moved-outward", ()):
        about = ("line-moved", _moved(of_line[key]))
        said = {"label": "Line has moved", "says": "Moved 25 mm out."}
        at = about[1].happened_at + hours(0.4)
        note = "Line secured where it lies, nothing runs in."
        acts.add(rng, about, "acknowledged", at, "s-quartz", note=note, **said)
        left = "Film of the tip asked for, not taken yet; prescriber knows."
        acts.add(
            rng, about, "handed-on", now - hours(0.8), "s-quartz", to="s-shale",
            note=left, **said,
        )  # fmt: skip


def _confirm_tip(
    acts: ConcernActs,
    rng: Random,
    of_line: Mapping[str, Sequence[DraftEntry]],
    lines: Mapping[str, Sequence[str]],
) -> None:
    for key in lines.get("moved-inward", ()):
        about = ("line-moved", _moved(of_line[key]))
        said = {"label": "Line has moved", "says": "Moved 15 mm in."}
        at = about[1].happened_at + hours(0.5)
        acts.add(rng, about, "acknowledged", at, "s-pumice", note="", **said)
        seen = "Film seen by the prescriber: the tip lies well, the line stays."
        acts.add(
            rng, about, "closed", at + hours(2.2), "s-pumice",
            outcome="tip-confirmed", note=seen, **said,
        )  # fmt: skip
