"""Which property holds each kind of statement of a policy file, and what none holds.

The list of statements is the readers' own (`lumenkeep.core.proving.what_is_read`). A row
here names properties of `lumenkeep prove`, ``reading`` where a faulty set is refused
before it is proved, or a key of `NOT_PROVED`; a statement without a row fails a test.
"""

from __future__ import annotations

from lumenkeep.core.policy.solver import PROPERTIES
from lumenkeep.core.proving.what_is_read import (
    statements_of_procedures,
    statements_of_rules,
)

READING = "reading"
HOLDERS = (READING, *PROPERTIES)
NOT_PROVED = {
    "meaning": "That a rule, a requirement or a rule of asepsis is right for children: "
    "a set is held to its requirements, and people answer for those.",
    "words": "That a sentence, a label or a reason says what a nurse needs: only the "
    "numbers in it are the rule's own.",
    "sources": "That a source says what it is cited for, and is the edition in force.",
    "people": "That the right person is called, and that whoever is called or to stand "
    "there comes, and does what is told: a set's own words for it are read by nobody.",
    "area": "That the width of skin cleaned, the strength and the number of swabs are "
    "right for this child: they are only held between bounds that nobody means to pass.",
    "times before": "That a time before which a task is too early is right, beyond the "
    "least that a floor or a requirement names.",
    "masks": "That the distance within which masks are worn is the right one: it is only "
    "held between bounds that nobody means to pass.",
    "charting": "That what is charted is enough, and true.",
    "kit": "That kit, room and shelves hold what their lists say.",
    "other lay-outs": "That what procedures other than the change of a dressing use lies "
    "ready: no list of the set names it; a guide lays out what their steps use.",
    "film": "That a film of the size named fits the child: only one too large for the "
    "youngest and the lightest, or larger and smaller than films are, is refused.",
    "weighing": "That a mass which was weighed long ago is doubted soon enough, and by "
    "enough: only the longest that it may count at an age, and bounds that nobody means "
    "to pass, are held.",
    "watching": "That concerns, scales and measurements find what is wrong in time: of "
    "lengths the false alarms are computed, of the rest only bounds are held that nobody "
    "means to pass.",
    "rounds": "That the questions of a round find what is wrong: of its plan only bounds "
    "are held that nobody means to pass.",
    "disagreements": "That a disagreement between sources is told in full.",
    "ways back": "That there is a way back from every slip: `lumenkeep rehearse SET "
    "--ways-back` looks for it.",
    "world": "What is believed of the world, below.",
    "bedside": "That a step is done as it is told.",
}
"""What no property shows, by key. ``bedside`` is so whatever a file says."""

COMMON = {
    "id": (READING,),
    "because": ("words",),
    "says": ("words",),
    "label": ("words",),
    "source": (READING, "sources"),
    "how": ("sources",),
    "numbers": (READING,),
    "reports": ("words",),
}
"""What counts for a key in any table, where the table has no row of its own for it."""

_DECIDES = ("complete", "safe", "consistent", "honest")
HELD: dict[str, tuple[str, ...]] = {
    "set.title": ("words",),
    "set.version": (READING,),
    "set.abstract": (READING,),
    "set.extends": (READING,),
    "set.call": ("people",),
    "set.antiseptics": _DECIDES,
    "set.dressings": _DECIDES,
    "set.remove": (READING, "meaning"),
    "source.*": ("sources",),
    "number": (READING, "safe"),
    "number.unit": (READING,),
    "number.means": ("words",),
    "number.stricter": ("safe",),
    "number.values.from": tuple(PROPERTIES),
    "number.values.value": (READING, *PROPERTIES, "meaning"),
    "agent.when": (READING,),
    "agent.contains": ("safe",),
    "agent.strength": (READING, "safe", "area"),
    "agent.swabs": ("safe", "laid-out", "area"),
    "agent.seconds_per_swab": ("safe", "aseptic"),
    "agent.dry": ("safe", "aseptic"),
    "agent.dry_judgement": ("words",),
    "agent.motion": ("safe", "aseptic"),
    "agent.motion_words": ("words",),
    "agent.area_low": (READING, "safe", "area"),
    "agent.area_high": (READING, "safe", "area"),
    "agent.residue_removed_with": ("safe", "aseptic", "laid-out"),
    "agent.residue_words": ("safe",),
    "agent.helper": ("words",),
    "exclude.when": (*_DECIDES, "stable"),
    "exclude.bars": (*_DECIDES, "stable"),
    "exclude.if_unknown": (READING, *_DECIDES),
    "exclude.lifts": ("words",),
    "exclude.takes_away": ("stable",),
    "refer.when": (*_DECIDES, "stable"),
    "refer.call": ("people",),
    "refer.takes_away": ("stable",),
    "site_rule.when": ("safe", "consistent", "aseptic"),
    "site_rule.scrub_at_least": ("safe", "aseptic"),
    "site_rule.dry_at_least": ("safe", "aseptic"),
    "interval.when": ("complete", "safe", "consistent"),
    "interval.task": ("complete", "safe", "consistent"),
    "interval.not_before": (READING, "safe", "times before"),
    "interval.not_after": ("complete", "safe"),
    "interval.priority": (READING, "complete", "safe"),
    "interval.nothing_due": (READING, "complete", "safe"),
    "at_once.when": ("safe", "consistent"),
    "at_once.task": ("safe", "consistent"),
    "staffing.when": ("safe",),
    "staffing.staff": ("safe",),
    "staffing.masks_within": ("safe", "masks"),
    "staffing.roles.*": ("people",),
    "supply.when": ("safe", "consistent", "laid-out"),
    "supply.item": ("safe", "laid-out"),
    "supply.count": ("safe", "laid-out"),
    "supply.size_of": ("safe", "laid-out"),
    "kit.*": ("kit",),
    "kit.item": (READING,),
    "kit.count": ("safe", "kit"),
    "kit.size": ("safe", "kit"),
    "note.when": ("safe", "consistent"),
    "note.kind": ("words",),
    "chart.*": ("safe", "charting"),
    "plausible.*": ("world",),
    "plausible.at_least": (READING, "world"),
    "floor.when": (READING,),
    "floor.number": (READING, "aseptic"),
    "floor.at_least": (READING, "aseptic"),
    "floor.strictly": (READING, "aseptic"),
    "require.*": ("safe", "meaning"),
    "disagreement.*": ("safe", "disagreements"),
    "call.*": ("people",),
    "weighing.*": ("safe", "weighing"),
    "film.*": ("safe", "film"),
    "length_limit.*": ("safe", "consistent", "watching"),
    "measuring.*": ("safe", "watching"),
    "measuring.when": ("safe", "consistent"),
    "measuring.error": ("safe", "consistent"),
    "measuring.false_alarm": ("safe", "consistent"),
    "measuring.over": ("safe", "consistent"),
    "measuring.priority": ("safe", "consistent"),
    "scale.*": ("safe", "watching"),
    "concern.*": ("safe", "watching"),
    "round_item.*": ("safe", "rounds"),
    "round_plan.*": ("safe", "rounds"),
    "bound.*": ("world",),
    "sane.*": ("safe", "aseptic", "meaning"),
    "loosened.*": (READING, "meaning"),
    "step.actor": ("aseptic",),
    "step.verb": ("aseptic",),
    "step.objects": ("aseptic",),
    "step.touches": ("aseptic",),
    "step.uses": ("aseptic", "laid-out", "other lay-outs"),
    "step.opens": ("aseptic",),
    "step.manner": ("aseptic",),
    "step.seconds": ("aseptic",),
    "step.when": ("aseptic", "laid-out"),
    "step.after": (READING, "aseptic"),
    "step.once": ("aseptic", "ways back"),
    "step.look": ("aseptic", "words"),
    "step.charted": ("aseptic", "charting"),
    "step.says_first": ("words",),
    "procedure.title": ("words",),
    "procedure.starts": ("aseptic",),
    "procedure.ends": ("aseptic",),
    "procedure.vary": ("aseptic", "laid-out"),
    "procedure.parts": (READING, "aseptic"),
    "procedure.resets": ("aseptic",),
    "procedure.branches.name": ("words",),
    "procedure.repeat.*": ("aseptic",),
    "procedure.repeat.called": ("words",),
    "item.place": ("aseptic",),
    "item.supply": ("aseptic", "laid-out"),
    "item.also": ("aseptic", "laid-out"),
    "item.size_of": ("aseptic", "laid-out"),
    "rule.on": ("aseptic", "meaning"),
    "rule.given": ("aseptic", "meaning"),
    "rule.needs": ("aseptic", "meaning"),
    "rule.when": ("aseptic", "meaning"),
    "rule.rule": ("words",),
    "rule.mend": ("words",),
    "safe.given": ("aseptic", "ways back"),
    "safe.needs": ("aseptic", "ways back"),
    "safe.when": ("aseptic", "ways back"),
    "safe.does": ("aseptic", "ways back"),
    "needed.on": ("aseptic",),
    "needed.after": ("aseptic",),
    "needed.before": ("aseptic",),
    "needed.when": ("aseptic",),
    "needed.rule": ("words",),
    "needed.mend": ("words",),
    "needed.every": ("aseptic",),
    "needed.times": ("aseptic",),
    "head.*": ("aseptic",),
    "head.rule": ("words",),
    "head.mend": ("words",),
    "kind.*": ("aseptic",),
    "slip.*": ("aseptic", "ways back"),
    "move.*": ("aseptic", "ways back"),
    "spare.*": ("aseptic", "kit"),
    "spare.item": ("aseptic", "laid-out", "kit"),
    "source": ("sources",),
}
"""What holds each statement; ``table.*`` counts for whatever has no row of its own."""


def held_by(statement: str) -> tuple[str, ...]:
    """Return what holds a statement, as ``exclude.bars``; empty if nothing is written.

    A row of its own goes before what is common to any table, and that before what
    counts for the whole of its table.
    """
    if statement in HELD:
        return HELD[statement]
    key = statement.rpartition(".")[2]
    if key in COMMON and not statement.startswith("source."):
        return COMMON[key]
    table = statement
    while "." in table:
        table = table.rpartition(".")[0]
        if f"{table}.*" in HELD:
            return HELD[f"{table}.*"]
    return ()


def every_statement() -> tuple[str, ...]:
    """Return every kind of statement, of rule files first, then of procedure files."""
    return tuple(dict.fromkeys((*statements_of_rules(), *statements_of_procedures())))
