"""A policy as somebody reads it: plain sentences with their sources, made from the data.

The reading holds every rule of the set once. Pages, print and the command show it;
none of them adds a sentence about care of its own.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.errors import PolicyError
from lumenkeep.text.policy.care import care_sections
from lumenkeep.text.policy.decision_chart import DecisionChart, decision_chart
from lumenkeep.text.policy.parts import (
    Citations,
    DisputeText,
    NumberRow,
    NumberValue,
    Section,
    SourceRow,
)
from lumenkeep.text.policy.procedures import (
    faulty_section,
    procedure_sections,
    round_sections,
)
from lumenkeep.text.policy.rest import disputes, rest_sections
from lumenkeep.text.policy.restated import restated_in_words
from lumenkeep.text.policy.watch import watch_sections
from lumenkeep.text.policy.words import capital, day_words, value_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lumenkeep.core.asepsis.procedure import Bedside
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.numbers import DatedValue, Number

DIGEST_SHOWN = 12
"""Characters of the digest that are enough to tell versions apart on paper."""
INSIDE_A_RULE = "."
"""A number written inside a rule is named by the rule, this mark and its key."""


@dataclass(frozen=True, slots=True)
class PolicyReading:
    """A policy set in plain sentences, as it stands on one day.

    Attributes
    ----------
    day, day_words
        The day whose numbers are read, and the same in words.
    digest, short_digest
        SHA-256 over the files, whole and as shown.
    call
        Whom to call where there is no answer.
    restated
        What the set says openly of bounds of the world.
    sections
        The chapters, none of them empty.
    chart
        The antiseptic decision; None for a set that chooses no antiseptic.
    """

    set_id: str
    title: str
    version: str
    digest: str
    short_digest: str
    day: date
    day_words: str
    call: str
    restated: tuple[str, ...]
    sections: tuple[Section, ...]
    disputes: tuple[DisputeText, ...]
    numbers: tuple[NumberRow, ...]
    sources: tuple[SourceRow, ...]
    chart: DecisionChart | None


def read_policy(policy: Policy, day: date) -> PolicyReading:
    """Return the reading of a policy on a day.

    Raises
    ------
    NoRuleError
        ``policy-number-not-in-force``: a rule needs a number that starts later.
    """
    book = policy.on(day)
    bedside = _bedside(policy, day)
    more = None if isinstance(bedside, PolicyError) else bedside.sources
    tell = Citations(book, more)
    sections = (
        *care_sections(tell),
        *rest_sections(tell),
        *watch_sections(tell),
        *round_sections(tell),
        *(
            (faulty_section(bedside),)
            if isinstance(bedside, PolicyError)
            else procedure_sections(tell, bedside, day)
        ),
    )
    disputed = disputes(tell)
    names = _names_of_rules(policy, sections)
    numbers = tuple(_number(tell, n, day, names) for n in policy.numbers.values())
    return PolicyReading(
        set_id=policy.id,
        title=policy.title,
        version=policy.version,
        digest=policy.digest,
        short_digest=policy.digest[:DIGEST_SHOWN],
        day=day,
        day_words=day_words(day),
        call=policy.call,
        restated=restated_in_words(policy, day),
        sections=tuple(_without_empty(sections)),
        disputes=disputed,
        numbers=numbers,
        sources=tell.sources(),
        chart=decision_chart(book) if policy.antiseptics else None,
    )


def _bedside(policy: Policy, day: date) -> Bedside | PolicyError:
    """Return a set's procedures; or what is wrong with them, which hides no rule."""
    try:
        return bedside_of(policy, day)
    except PolicyError as error:
        return error


def _without_empty(sections: tuple[Section, ...]) -> list[Section]:
    found = []
    for section in sections:
        parts = tuple(part for part in section.parts if part.statements)
        if parts:
            found.append(Section(section.key, section.title, section.lead, parts))
    return found


def _names_of_rules(policy: Policy, sections: Iterable[Section]) -> dict[str, str]:
    """Return a rule's reason by its id, or its sentence where others share the reason."""
    reasons = Counter(rule.because for rule in policy.every_rule())
    names = {rule.id: rule.because for rule in policy.every_rule()}
    for section in sections:
        for part in section.parts:
            for one in part.statements:
                if one.rule and reasons[names[one.rule]] > 1:
                    names[one.rule] = one.text
    return names


def _number(
    tell: Citations, number: Number, day: date, names: Mapping[str, str]
) -> NumberRow:
    now = number.on(day)

    def one(value: DatedValue) -> NumberValue:
        state = "was" if value.start <= day else "will be"
        return NumberValue(
            since=day_words(value.start),
            words=value_words(value.value, number.unit),
            state="is" if value is now else state,
            cite=tell.cite(value.source, value.how),
        )

    is_named = INSIDE_A_RULE not in number.id
    return NumberRow(
        id=number.id,
        means=capital(number.means) if is_named else _inside(number, names),
        is_named=is_named,
        values=tuple(one(value) for value in number.values),
    )


def _inside(number: Number, names: Mapping[str, str]) -> str:
    """Return what to call a number that is written in a rule."""
    rule, _, key = number.id.partition(INSIDE_A_RULE)
    word = key.rsplit(INSIDE_A_RULE, 1)[-1].replace("_", " ")
    return f"{names.get(rule, rule)} ({word})"
