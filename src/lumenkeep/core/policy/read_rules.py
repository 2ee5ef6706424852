"""Read each kind of rule from its table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model.words import DRESSINGS
from lumenkeep.core.policy.child_rules import CHILD_KINDS
from lumenkeep.core.policy.read_basics import (
    Reference,
    RuleReader,
    read_when,
    refuse_empty,
    source_ref,
)
from lumenkeep.core.policy.read_bounds import BOUND_KINDS
from lumenkeep.core.policy.read_round import ROUND_KINDS
from lumenkeep.core.policy.read_watch import WATCH_KINDS
from lumenkeep.core.policy.rules import (
    Agent,
    AtOnce,
    ChartField,
    Disagreement,
    Exclusion,
    Floor,
    Interval,
    KitItem,
    Note,
    Plausible,
    Position,
    Referral,
    Requirement,
    Role,
    Rule,
    SiteRule,
    Staffing,
    Supply,
)
from lumenkeep.core.policy.sane import SANE_KINDS
from lumenkeep.core.policy.vocabulary import FACTS, TASKS

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from lumenkeep.core.model.reading import Reader

BATHS = ("chlorhexidine-bath",)
VERDICTS = ("plan", "ask", "stop")
MOTIONS = ("back-and-forth", "outward-circles")
ABOUT = ("antiseptic", "dressing", "technique", "people", "bath", "due", "assessment")
SIZES = ("operator", "assistant", "film")
"""Whom a thing must fit: a person's hands, or the child's skin."""
FIELD_KINDS = ("instant", "choice", "length", "count", "text", "yes-no")


def read_agent(row: Reader, id_: str, reading: RuleReader) -> Agent:
    """Return one antiseptic."""
    shared = reading.shared(row, id_)
    if shared["when"]:
        row.fault(
            "agent-has-conditions",
            f"Antiseptic '{id_}' has conditions of its own, which nothing reads.",
            "when",
            "take them out, and bar it with an [[exclude]] instead",
        )
    rule = Agent(
        **shared,
        label=row.text("label", needed=True) or id_,
        contains=row.words("contains", FACTS["sensitivities"].allowed, needed=True),
        strength=reading.may(row, "strength", "percent", id_),
        swabs=reading.needs(row, "swabs", "count", id_),
        seconds_per_swab=reading.may(row, "seconds_per_swab", "elapsed", id_),
        dry=reading.needs(row, "dry", "elapsed", id_),
        dry_judgement=row.text("dry_judgement", needed=True) or "",
        motion=row.word("motion", MOTIONS, needed=True) or MOTIONS[0],
        motion_words=row.text("motion_words", needed=True) or "",
        area_low=reading.needs(row, "area_low", "length", id_),
        area_high=reading.needs(row, "area_high", "length", id_),
        residue=row.text("residue_removed_with"),
        residue_words=row.text("residue_words"),
        helper=row.text("helper"),
    )
    row.finish()
    return rule


def _exclusion(row: Reader, reading: RuleReader) -> Exclusion:
    shared = reading.shared(row)
    items = (*reading.agents, *DRESSINGS, *BATHS)
    refuse_empty(row, "bars", "name what it bars, or take the rule out")
    rule = Exclusion(
        **shared,
        bars=row.words("bars", items, needed=True),
        if_unknown=row.word("if_unknown", ("ask", "look")) or "ask",
        lifts=row.text("lifts"),
        takes_away=row.flag("takes_away"),
    )
    agents = [item for item in rule.bars if item not in (*DRESSINGS, *BATHS)]
    if rule.if_unknown == "look" and agents:
        row.fault(
            "look-bars-agent",
            f"Rule '{rule.id}' would let '{agents[0]}' be used while it is not known "
            "whether it may.",
            "if_unknown",
            'write if_unknown = "ask"; only a dressing may wait for a look at the site',
        )
    return rule


def _referral(row: Reader, reading: RuleReader) -> Referral:
    return Referral(
        **reading.shared(row),
        call=row.text("call"),
        takes_away=row.flag("takes_away"),
    )


def _site_rule(row: Reader, reading: RuleReader) -> SiteRule:
    shared = reading.shared(row)
    return SiteRule(
        **shared,
        scrub=reading.needs(row, "scrub_at_least", "elapsed", shared["id"]),
        dry=reading.needs(row, "dry_at_least", "elapsed", shared["id"]),
    )


def _interval(row: Reader, reading: RuleReader) -> Interval:
    shared = reading.shared(row)
    rule = Interval(
        **shared,
        task=row.word("task", TASKS, needed=True) or "dressing",
        not_before=reading.may(row, "not_before", "time", shared["id"]),
        not_after=reading.may(row, "not_after", "time", shared["id"]),
        priority=row.whole("priority", low=0, high=99, unit="steps") or 0,
        nothing_due=row.flag("nothing_due"),
    )
    if rule.nothing_due and (rule.not_before or rule.not_after or not rule.when):
        row.fault(
            "nothing-and-a-clock",
            f"Rule '{rule.id}' says that nothing is due, and yet gives a time, or says "
            "so of every line.",
            "nothing_due",
            "take the times out, and write in 'when' on which lines the task does not "
            "arise",
        )
    return rule


def _at_once(row: Reader, reading: RuleReader) -> AtOnce:
    shared = reading.shared(row)
    return AtOnce(**shared, task=row.word("task", TASKS, needed=True) or "dressing")


def _staffing(row: Reader, reading: RuleReader) -> Staffing:
    shared = reading.shared(row)
    roles = []
    for person in row.rows("roles"):
        roles.append(
            Role(
                id=person.word("id", ("operator", "assistant"), needed=True) or "",
                label=person.text("label", needed=True) or "",
                does=person.text("does", needed=True) or "",
                gloves=person.text("gloves", needed=True) or "",
            )
        )
        person.finish()
    return Staffing(
        **shared,
        staff=reading.needs(row, "staff", "count", shared["id"]),
        masks_within=reading.needs(row, "masks_within", "length", shared["id"]),
        roles=tuple(roles),
    )


def _supply(row: Reader, reading: RuleReader) -> Supply:
    shared = reading.shared(row)
    return Supply(
        **shared,
        item=row.text("item", needed=True) or "",
        label=row.text("label", needed=True) or "",
        count=reading.needs(row, "count", "count", shared["id"]),
        size_of=row.word("size_of", SIZES),
    )


def _kit_item(row: Reader, reading: RuleReader) -> KitItem:
    shared = reading.shared(row, conditions=False)
    return KitItem(
        **shared,
        item=row.text("item", needed=True) or "",
        count=reading.needs(row, "count", "count", shared["id"]),
        size=row.text("size"),
    )


def _note(row: Reader, reading: RuleReader) -> Note:
    shared = reading.shared(row)
    return Note(
        **shared,
        kind=row.word("kind", ("caution", "look")) or "caution",
        reports=row.flag("reports"),
    )


def _chart_field(row: Reader, reading: RuleReader) -> ChartField:
    shared = reading.shared(row)
    kind = row.word("kind", FIELD_KINDS, needed=True) or "text"
    family = {"length": "length", "count": "count"}.get(kind, "count")
    return ChartField(
        **shared,
        label=row.text("label", needed=True) or "",
        kind=kind,
        required=row.flag("required"),
        low=reading.may(row, "low", family, shared["id"]),
        high=reading.may(row, "high", family, shared["id"]),
        choices=row.words("choices", None),
    )


def _plausible(row: Reader, reading: RuleReader) -> Plausible:
    shared = reading.shared(row)
    return Plausible(
        **shared,
        fact=row.word("fact", ("mass",), needed=True) or "mass",
        at_least=reading.needs(row, "at_least", "g", shared["id"]),
    )


def _floor(row: Reader, reading: RuleReader) -> Floor:
    shared = reading.shared(row)
    return Floor(
        **shared,
        number=row.text("number", needed=True) or "",
        at_least=reading.needs(row, "at_least", "", shared["id"]),
        strictly=row.flag("strictly"),
    )


def _requirement(row: Reader, reading: RuleReader) -> Requirement:
    shared = reading.shared(row)
    id_ = shared["id"]
    return Requirement(
        **shared,
        agent=row.words("agent", reading.agents),
        not_agent=row.words("not_agent", reading.agents),
        not_holding=row.words("not_holding", FACTS["sensitivities"].allowed),
        dressing=row.words("dressing", DRESSINGS),
        not_dressing=row.words("not_dressing", DRESSINGS),
        verdict=row.words("verdict", VERDICTS),
        if_charted=row.flag("if_charted"),
        barred=row.words("barred", BATHS),
        residue_removed=row.flag("residue_removed"),
        strength_at_most=reading.may(row, "strength_at_most", "percent", id_),
        scrub_at_least=reading.may(row, "scrub_at_least", "elapsed", id_),
        scrub_at_most=reading.may(row, "scrub_at_most", "elapsed", id_),
        dry_at_least=reading.may(row, "dry_at_least", "elapsed", id_),
        swabs_at_least=reading.may(row, "swabs_at_least", "count", id_),
        staff_at_least=reading.may(row, "staff_at_least", "count", id_),
        task=row.word("task", TASKS) or "dressing",
        at_once=row.flag("at_once"),
        not_at_once=row.flag("not_at_once"),
        no_clock=row.flag("no_clock"),
        nothing_due=row.flag("nothing_due"),
        stays_at_most=reading.may(row, "stays_at_most", "time", id_),
        stays_at_least=reading.may(row, "stays_at_least", "time", id_),
        rests_at_least=reading.may(row, "rests_at_least", "time", id_),
        film_at_most=reading.may(row, "film_at_most", "length", id_),
        weighing_at_most=reading.may(row, "weighing_at_most", "time", id_),
    )


def _disagreement(row: Reader, reading: RuleReader) -> Disagreement:
    id_ = row.text("id", needed=True) or "without-id"
    positions = []
    for said in row.rows("positions"):
        positions.append(
            Position(
                source_ref(said, reading.into), said.text("says", needed=True) or ""
            )
        )
        said.finish()
    if not positions:
        row.fault("missing", "No position is given.", "positions", "say who says what")
    return Disagreement(
        id=id_,
        because=row.text("because", needed=True) or "",
        source=positions[0].source if positions else "",
        how=None,
        where=row.where,
        when=read_when(row, id_, reading.into, {"agent": reading.agents}),
        reports=True,
        topic=row.text("topic", needed=True) or "",
        about=row.words("about", ABOUT, needed=True),
        positions=tuple(positions),
    )


KINDS: Mapping[str, Callable[[Reader, RuleReader], Rule]] = {
    "exclude": _exclusion,
    "refer": _referral,
    "site_rule": _site_rule,
    "interval": _interval,
    "at_once": _at_once,
    "staffing": _staffing,
    "supply": _supply,
    "kit": _kit_item,
    "note": _note,
    "chart": _chart_field,
    "plausible": _plausible,
    "floor": _floor,
    "require": _requirement,
    "disagreement": _disagreement,
    **CHILD_KINDS,
    **WATCH_KINDS,
    **ROUND_KINDS,
    **BOUND_KINDS,
    **SANE_KINDS,
}
"""The lists of rules a file may hold, and what reads one row of each."""


def read_rules(
    file: Reader, key: str, reading: RuleReader, known: Mapping[str, Rule]
) -> list[Rule]:
    """Return the rules of one kind, noting ids used twice in this set."""
    found: list[Rule] = []
    for row in file.rows(key):
        rule = KINDS[key](row, reading)
        row.finish()
        same = [known[rule.id]] if rule.id in known else []
        same += [other for other in found if other.id == rule.id]
        if same:
            row.fault(
                "same-id",
                f"Rule id '{rule.id}' is used twice in this set.",
                "id",
                f"give one of them another id; the other stands at {same[0].where}",
            )
        found.append(rule)
    return found


__all__ = [
    "BATHS",
    "KINDS",
    "SIZES",
    "Reference",
    "RuleReader",
    "read_agent",
    "read_rules",
]
