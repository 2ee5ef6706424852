"""Which missing facts would decide an infection, and where each is charted.

The determination names them; here each gets the form that answers it. Only a fact that
changes the answer is asked for.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes import line_spans, questions
from lumenkeep.core.outcomes.derivation import MISSING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.core.outcomes.derivation import Event, Unknown

TIP, ACCESS, RESULT, ORGANISM = (
    "line-tip", "line-access", "specimen-result", "organism",
)  # fmt: skip
CHARTED: Mapping[str, str] = {
    line_spans.TIP: TIP,
    line_spans.ACCESS: ACCESS,
    questions.RESULT: RESULT,
    questions.ORGANISM: ORGANISM,
    questions.SAME: ORGANISM,
    questions.BIRTH: "birth",
    questions.STAYS: "stay",
}
"""The form that answers a kind of question; of others an entry is to be corrected."""


@dataclass(frozen=True, slots=True)
class Ask:
    """A fact that would decide.

    Attributes
    ----------
    ways
        What the answer would be, one sentence for each side; empty where not worked.
    charts_as
        Form that answers it; empty where an entry is corrected or a person must say.
    about
        Key of the line, id of the specimen's entry or name of the organism; empty
        where none of these.
    settles_clabsi
        Whether it decides if the infection is the line's; else only its form.
    """

    rule: str
    text: str
    ways: tuple[str, ...] = ()
    charts_as: str = ""
    about: str = ""
    settles_clabsi: bool = True


def asks_of(event: Event) -> tuple[Ask, ...]:
    """Return the facts that would decide an event, those for the line first."""
    asks = [_ask(one) for one in event.unknown]
    told = {ask.text for ask in asks}
    asks += [
        Ask(step.rule, step.text, settles_clabsi=False)
        for step in event.steps
        if step.kind == MISSING and step.text not in told and event.is_clabsi
    ]
    return tuple(asks)


def _ask(unknown: Unknown) -> Ask:
    charts_as = CHARTED.get(unknown.kind, "")
    about = unknown.about
    if unknown.kind == questions.SAME:
        about = about.partition("|")[0]
    elif unknown.kind == questions.RESULT:
        about = about.removeprefix("e")
    return Ask(
        unknown.rule,
        f"{unknown.clause}.",
        unknown.ways,
        charts_as,
        about,
        unknown.settles_clabsi,
    )
