"""Chart any substance that a child does not tolerate, with what it did and how severely.

What was charted before and is no word of the list stays, until it is said not to be so.
"""

from __future__ import annotations

from dataclasses import asdict, replace
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model.allergy import SEVERITIES, SaidAllergy, told_in_body
from lumenkeep.core.model.words import SENSITIVITIES

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from lumenkeep.ward.chart.charting.bedside import FormContext
    from lumenkeep.ward.site.typed_values import Typed

SUBSTANCE, HAPPENED = "other-substance", "other-happened"
SEVERITY, TOUCHES = "other-severity", "other-touches"
NOT_SO = "not-so"
TOUCHES_SKIN = (
    "Does it concern anything that touches this child’s skin at the line: antiseptic, "
    "dressing, tape, remover, gloves?"
)
TOUCHES_ANSWERS = {"yes": "Yes", "no": "No", "not-asked": "Not asked yet"}
STANDING_ANSWERS = {**TOUCHES_ANSWERS, NOT_SO: "Was not so: take it off"}
_TOUCHES = {"yes": True, "no": False}
Question = tuple[str, str, str, "Mapping[str, str] | None"]
"""Name, label, how it is drawn, and words by value."""


def told_before(at_bed: FormContext) -> tuple[SaidAllergy, ...]:
    """Return what is charted that the child does not tolerate; as the wrong entry says."""
    wrong = at_bed.wrong
    if wrong is not None and wrong.kind == "sensitivities":
        return told_in_body(wrong.body)
    return at_bed.reading.state.case.child.allergies.told


def words_before(told: Iterable[SaidAllergy]) -> tuple[str, ...]:
    """Return the words of the list that were charted before, to be ticked already."""
    return tuple(t.substance for t in told if _is_plain(t))


def others_before(told: Iterable[SaidAllergy]) -> dict[str, SaidAllergy]:
    """Return what else was charted before, by the name of the field that asks of it."""
    return {_field_of(t): t for t in told if not _is_plain(t)}


def answers_before(told: Iterable[SaidAllergy]) -> dict[str, str]:
    """Return for each of `others_before` what was answered, as its field holds it."""
    words = {True: "yes", False: "no", None: "not-asked"}
    return {name: words[t.touches_skin] for name, t in others_before(told).items()}


def questions_of_substances(told: Iterable[SaidAllergy]) -> Iterator[Question]:
    """Return what a form asks of substances: those charted before, and one more."""
    for name, said in others_before(told).items():
        label = f"Charted before: “{said.substance}”. {TOUCHES_SKIN}"
        yield name, label, "choice", STANDING_ANSWERS
    yield SUBSTANCE, "Anything else, or one of these with what it did", "line", None
    yield HAPPENED, "What happened", "line", None
    yield SEVERITY, "How severe it was", "choice", SEVERITIES
    yield TOUCHES, TOUCHES_SKIN, "choice", TOUCHES_ANSWERS


def read_substances(form: Typed, told: Iterable[SaidAllergy]) -> list[dict[str, Any]]:
    """Return the rows of an entry; faults go to the form.

    Parameters
    ----------
    form
        ``other-substance``, ``other-happened``, ``other-severity``, ``other-touches``;
        and for each of `others_before` its field. One left out changes nothing.
    told
        What is charted now.
    """
    return [*_kept(form, told), *_new(form)]


def _kept(form: Typed, before: Iterable[SaidAllergy]) -> list[dict[str, Any]]:
    rows = []
    for name, told in others_before(before).items():
        answer = form.word(name, f"“{told.substance}”", STANDING_ANSWERS)
        touches = told.touches_skin if answer is None else _TOUCHES.get(answer)
        if answer != NOT_SO:
            rows.append(asdict(replace(told, touches_skin=touches)))
    return rows


def _new(form: Typed) -> list[dict[str, Any]]:
    happened = form.text(HAPPENED, "What happened")
    severity = form.word(SEVERITY, "How severe", SEVERITIES)
    touches = form.word(TOUCHES, "Touches the skin", TOUCHES_ANSWERS)
    is_told = bool(happened or severity or touches)
    substance = form.text(SUBSTANCE, "Substance", needed=is_told)
    if substance is None:
        return []
    return [
        asdict(SaidAllergy(substance, happened, severity, _TOUCHES.get(touches or "")))
    ]


def _is_plain(told: SaidAllergy) -> bool:
    rest = (told.what_happened, told.severity, told.touches_skin)
    return told.substance in SENSITIVITIES and rest == (None, None, None)


def _field_of(told: SaidAllergy) -> str:
    return f"touches-{sha256(told.substance.encode()).hexdigest()[:8]}"
