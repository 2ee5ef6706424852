"""The form of a decision, and what was decided, in words."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model import infection_words as words
from lumenkeep.text.moments import plain_day_and_time
from lumenkeep.ward.chart.pages.fields import FieldView, pairs
from lumenkeep.ward.infections.decide import BECAUSE, ON, VERDICT, WARD, WORD
from lumenkeep.ward.infections.infection import CONFIRMED, OVERRIDDEN
from lumenkeep.ward.infections.pages.words import day_words

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.ward.chart.store.repository import StaffRepository
    from lumenkeep.ward.infections.decide import InfectionAtHand
    from lumenkeep.ward.infections.infection import Infection

TO_CHOOSE = {
    CONFIRMED: "Confirm what is proposed",
    OVERRIDDEN: "Decide otherwise",
    "left-open": "Leave it open",
}
OTHERWISE_HINT = "Only to decide otherwise."


def decision_fields(at_hand: InfectionAtHand) -> tuple[FieldView, ...]:
    """Return the fields of a decision; what needs no decision is left out."""
    found = at_hand.infection
    can_confirm = found.proposed_verdict is not None
    choices = tuple(
        pair for pair in TO_CHOOSE.items() if can_confirm or pair[0] != CONFIRMED
    )
    wards = tuple((ward.key, ward.name) for ward in at_hand.wards)
    return (
        FieldView(WORD, "Your decision", "choice", required=True, choices=choices),
        FieldView(
            VERDICT, "What it is", "pick", hint=OTHERWISE_HINT,
            choices=pairs(words.VERDICTS),
        ),
        FieldView(
            WARD, "Counted for", "pick", hint="Only for an infection of the stay.",
            choices=wards, typed=found.ward or found.lay_on or "",
        ),
        FieldView(
            ON, "Date of event", "day", hint="Only for an infection of the stay.",
            typed=found.proposed_on.isoformat(),
        ),
        FieldView(BECAUSE, "Why", "text", hint="Needed to decide otherwise."),
    )  # fmt: skip


def decided_words(
    infection: Infection, at_hand: InfectionAtHand, staff: StaffRepository
) -> dict[str, Any] | None:
    """Return the last decision in words; None where nobody has decided."""
    made = infection.last_decision
    if made is None:
        return None
    names = {one.key: one.name for one in staff.people(None)}
    zone = at_hand.ward.zone if at_hand.ward else at_hand.wards[0].zone
    by = f"{names.get(made.by, made.by)}, {plain_day_and_time(made.at, zone)}"
    ward = next((w.name for w in at_hand.wards if w.key == made.ward), "")
    verdict = words.VERDICTS.get(made.verdict or "", "")
    if verdict and ward:
        verdict += f", counted for {ward}"
        verdict += f" on {day_words(made.on)}" if made.on else ""
    return {
        "what": words.DECISIONS.get(made.word, made.word),
        "verdict": verdict,
        "because": made.because,
        "by": by,
        "is_old": infection.is_old_decision,
        # What had been proposed then, where that is no longer what is proposed.
        "then": _then(made.proposed) if infection.is_old_decision else "",
    }


def _then(proposed: Mapping[str, Any]) -> str:
    """Return an older proposal in brief."""
    kind = proposed.get("type", "")
    verdict = (
        "counted for a line" if proposed.get("clabsi") else "not counted for a line"
    )
    text = f"{kind}, {proposed.get('organism') or 'organism not told'}, {verdict}"
    if proposed.get("date_of_event"):
        text += f", {day_words(date.fromisoformat(proposed['date_of_event']))}"
    return text
