"""The facts of a child and a line, each with since when it is known, or that it is not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries import kind_of, signs_in
from lumenkeep.core.model import Child, words
from lumenkeep.core.model.allergy import told_in_words
from lumenkeep.core.model.case import Case, mass_at, skin_at_site
from lumenkeep.core.model.closed_facts import (
    CLOSED_FACTS,
    ClosedFact,
    stated_once_in,
)
from lumenkeep.core.model.entry import Entry
from lumenkeep.core.model.facts import Fact, Unknown
from lumenkeep.core.model.quantities import age_in_words, mass_in_words
from lumenkeep.core.model.signs import skin_said
from lumenkeep.text.moments import counted, moment_in_words

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime, tzinfo

    from lumenkeep.core.model.times import Birth

FACT_KINDS = {
    "age": "birth",
    "gestation_at_birth": "birth",
    "postmenstrual_age": "birth",
    "mass": "weight",
    "sensitivities": "sensitivities",
    "findings": "finding",
    **{fact.name: fact.charted_in for fact in CLOSED_FACTS},
}
"""Kind of entry in which each fact of a rule is charted."""


ROWS_OF_THE_CHILD = tuple(
    fact
    for fact in stated_once_in(Child)
    if fact.name != "unit" and fact.whose == (Child,)
)
"""The skin stands with the line; where the child lies stands above the page."""
CHARTED_BY_FORM = (
    "weight",
    "sensitivities",
    "skin",
    "birth",
    *(fact.charted_in for fact in ROWS_OF_THE_CHILD),
)
"""Kinds of entry whose form is offered beside a fact that is not known."""
NONE_ON = "None on"


@dataclass(frozen=True, slots=True)
class FactRow:
    """One fact in words; ``charts_as`` is the kind of entry that would state it."""

    label: str
    value: str
    note: str
    is_unknown: bool
    charts_as: str | None


@dataclass(frozen=True, slots=True)
class _Ask:
    label: str
    fact: Fact[Any]
    words: str
    kinds: tuple[str, ...] = ()
    charts_as: str | None = None
    is_told_by: Callable[[Entry], bool] | None = None

    def is_told(self, entry: Entry) -> bool:
        """Return whether an entry states the fact."""
        if self.is_told_by is not None:
            return self.is_told_by(entry)
        return entry.kind in self.kinds


def child_facts(
    case: Case, entries: Iterable[Entry], now: datetime, zone: tzinfo
) -> tuple[FactRow, ...]:
    """Return what is known and not known of the child."""
    child = case.child
    mass = mass_at(child, now)
    sensitivities = child.sensitivities
    return _rows(
        (
            _Ask("Age", child.born, age_words(child.born, now), ("birth",), "birth"),
            _Ask(
                "Gestation at birth",
                child.gestation_at_birth,
                str(child.gestation_at_birth),
                ("birth",),
                "birth",
            ),
            _Ask(
                "Weight",
                mass,
                "" if isinstance(mass, Unknown) else mass_in_words(mass.grams),
                ("weight",),
                "weight",
            ),
            _Ask(
                "Does not tolerate",
                sensitivities,
                ""
                if isinstance(sensitivities, Unknown)
                else sensitivities_in_words(case),
                ("sensitivities",),
                "sensitivities",
            ),
            *(_closed(fact, case) for fact in ROWS_OF_THE_CHILD),
        ),
        entries,
        now,
        zone,
    )


def _closed(fact: ClosedFact, case: Case) -> _Ask:
    """Return how a fact of a closed list is shown."""
    said = fact.answer(case.child, case.line)
    return _Ask(
        fact.label.capitalize(),
        fact.value(case.child, case.line),
        fact.answers.get(said or "", ""),
        charts_as=fact.charted_in,
        is_told_by=partial(_states, f"child.{fact.attribute}"),
    )


def _states(fact: str, entry: Entry) -> bool:
    kind = kind_of(entry.kind)
    return kind is not None and any(
        field.sets == fact and entry.body.get(field.key) is not None
        for field in kind.fields
    )


def sensitivities_in_words(case: Case) -> str:
    """Return what the child does not tolerate, with what is still to be asked."""
    child = case.child
    if isinstance(child.sensitivities, Unknown):
        return ""
    told = [
        told_in_words(said)
        for said in child.allergies.told
        if said.substance not in words.SENSITIVITIES
    ]
    known = sorted(child.sensitivities)
    named = [words.SENSITIVITIES[word] for word in known if word in words.SENSITIVITIES]
    strange = [word for word in known if word not in words.SENSITIVITIES]
    return ", ".join((*named, *(told or strange))) or "Asked: nothing known"


def line_facts(
    case: Case, entries: Iterable[Entry], now: datetime, zone: tzinfo
) -> tuple[FactRow, ...]:
    """Return what is known and not known of the line."""
    line = case.line
    length, stitches = line.external_length_mm, line.stitches
    worn, skin = line.dressing.kind, skin_at_site(case)
    measured = ("dressing-change", "line-inserted")
    return _rows(
        (
            _Ask("Dressing", NONE_ON, f"{NONE_ON}: {worn.reason}")
            if line.dressing.is_off and isinstance(worn, Unknown)
            else _Ask(
                "Dressing", worn, words.DRESSINGS.get(str(worn), str(worn)), measured
            ),
            _Ask(
                "Skin at the site",
                skin,
                words.SKIN.get(str(skin), ""),
                charts_as="skin",
                is_told_by=_tells_skin,
            ),
            _Ask(
                "Length outside",
                length,
                "" if isinstance(length, Unknown) else f"{length:g} mm",
                measured,
            ),
            _Ask(
                "Stitches",
                stitches,
                "" if isinstance(stitches, Unknown) else f"{stitches:g}",
                measured,
            ),
            _Ask(
                "Put in",
                line.inserted,
                ""
                if isinstance(line.inserted, Unknown)
                else moment_in_words(line.inserted, now, zone),
                ("line-inserted",),
            ),
            _Ask(
                "Lumens",
                line.lumens,
                "" if isinstance(line.lumens, Unknown) else f"{line.lumens}",
                ("line-inserted",),
            ),
        ),
        entries,
        now,
        zone,
    )


def age_words(born: Fact[Birth], now: datetime) -> str:
    """Return an age; both ends of it where only the birth date is on record."""
    if isinstance(born, Unknown):
        return ""
    least = age_in_words((now - born.latest).total_seconds())
    most = age_in_words((now - born.earliest).total_seconds())
    return least if born.is_exact or least == most else f"{least} to {most}"


def child_in_words(case: Case, now: datetime) -> str:
    """Return age, gestation and weight in one line; what is not known is said."""
    child = case.child
    mass = mass_at(child, now)
    age = age_words(child.born, now)
    parts = [f"{age} old" if age else "age not charted"]
    if not isinstance(child.gestation_at_birth, Unknown):
        parts.append(f"born at {child.gestation_at_birth}")
    parts.append(
        "weight not charted" if isinstance(mass, Unknown) else mass_in_words(mass.grams)
    )
    return ", ".join(parts)


def _tells_skin(entry: Entry) -> bool:
    seen = signs_in(entry)
    return skin_said(seen.there, seen.gone) is not None


def _rows(
    asks: Iterable[_Ask], entries: Iterable[Entry], now: datetime, zone: tzinfo
) -> tuple[FactRow, ...]:
    entries = tuple(entries)
    rows = []
    for ask in asks:
        if isinstance(ask.fact, Unknown):
            rows.append(
                FactRow(
                    ask.label,
                    "Not known",
                    ask.fact.reason,
                    is_unknown=True,
                    charts_as=ask.charts_as,
                )
            )
            continue
        told = [e.happened_at for e in entries if ask.is_told(e)]
        note = f"charted {moment_in_words(max(told), now, zone)}" if told else ""
        rows.append(
            FactRow(
                ask.label, ask.words, note, is_unknown=False, charts_as=ask.charts_as
            )
        )
    return tuple(rows)


def unknown_count(rows: Iterable[FactRow]) -> str:
    """Return how many facts are not known, in words; empty when all are."""
    number = sum(row.is_unknown for row in rows)
    return counted(number, "fact is", "facts are") + " not known" if number else ""
