"""What is asked at one line on a round, and writing down what was seen."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from lumenkeep.core.entries import every_kind
from lumenkeep.core.outcomes.rounds.look import DOES_NOT_APPLY, KEPT, NOT_KEPT, NOT_SEEN
from lumenkeep.core.policy import Situation
from lumenkeep.errors import ChartError, Fault
from lumenkeep.ward.chart.charting.bedside import bedside
from lumenkeep.ward.chart.charting.form_fields import FormField, asked_of
from lumenkeep.ward.chart.charting.typed_entry import SentForm, read_sheet
from lumenkeep.ward.chart.line_at_hand import line_in_place
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.rounds.records import NewLook
from lumenkeep.ward.site.rights import may_correct_of, may_see_watched
from lumenkeep.ward.site.typed_values import Typed

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from datetime import datetime

    from lumenkeep.core.model import Case
    from lumenkeep.core.outcomes.rounds.look import LineLook
    from lumenkeep.core.policy import Policy
    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.chart.charting.bedside import FormContext
    from lumenkeep.ward.rounds.repository import RoundRepository
    from lumenkeep.ward.site.people import StaffRecord
    from lumenkeep.ward.site.sent import Sent

WORDS = {
    KEPT: "Yes",
    NOT_KEPT: "No",
    NOT_SEEN: "Not seen",
    DOES_NOT_APPLY: "Does not apply",
}
"""The answers as a person taps them."""


@dataclass(frozen=True, slots=True)
class RoundQuestion:
    """One item at one line.

    Attributes
    ----------
    answers
        Answers that may be given.
    does_not_apply
        When it does not apply, in words; empty where it always does.
    """

    item: str
    label: str
    asks: str
    answers: tuple[str, ...]
    does_not_apply: str
    watched: bool
    finds: bool = False


def questions(policy: Policy, case: Case, at: datetime) -> Iterator[RoundQuestion]:
    """Yield what is asked at a line, in the order of the policy.

    An item whose condition rests on a fact that is not known is asked, and may be
    answered with "does not apply": unknown is never no.
    """
    book = policy.on(at.astimezone(case.zone).date())
    situation = Situation(case, at)
    for live in book.round_items:
        truth = live.when.truth(situation)
        if truth is False:
            continue
        rule = live.rule
        why = rule.may_not_apply or ""
        if truth is None and not why:
            why = "this child or line is not one of those it is asked for"
        yield RoundQuestion(
            rule.id,
            rule.label,
            rule.asks,
            tuple(word for word in WORDS if why or word != DOES_NOT_APPLY),
            why,
            rule.watched,
            rule.finds,
        )


KINDS = {"finding": ("findings",), "site-check": ("signs",)}
"""Kinds of entry that a round may chart, and the keys of each that it asks for."""
NOTED = "Seen on a line round."


def seen_questions(at_bed: FormContext) -> tuple[FormField, ...]:
    """Return what a round may say of the dressing and the site; all may be left out."""
    return tuple(
        replace(one, required=False)
        for kind, keys in KINDS.items()
        for one in asked_of(every_kind()[kind], at_bed)
        if one.field is not None and one.field.key in keys
    )


def seen_drafts(
    form: Typed,
    ticked: Mapping[str, Sequence[str]],
    at_bed: FormContext,
    by: str,
    failed: Iterable[RoundQuestion],
) -> list[Draft]:
    """Return the entries of what was ticked, noting in ``form`` what is missing.

    Parameters
    ----------
    failed
        Items that were not as they should be. One that finds something asks what.
    """
    questions = seen_questions(at_bed)
    record = at_bed.line.record
    drafts = []
    for kind_id, keys in KINDS.items():
        kind = every_kind()[kind_id]
        asked = [one for one in questions if one.field and one.field.key in keys]
        if not any(ticked.get(one.name) for one in asked):
            continue
        sheet = SentForm(form, ticked, at_bed.zone, at_bed.now)
        body = read_sheet(replace(kind, check=None), asked, sheet).body
        drafts.append(
            Draft(
                record.child, record.key, kind_id, at_bed.now, by,
                {**body, "note": NOTED},
            )
        )  # fmt: skip
    if any(one.finds for one in failed) and not drafts:
        form.fault(
            "missing",
            "What was found is not said.",
            questions[0].name,
            "choose what the dressing or the site is like",
        )
    return drafts


NOTE, OBSERVED, BELONGS, CORRECTS = "note", "observed", "belongs", "corrects"
UNIT, OUTSIDE = "unit", "outside"
ON_CHART = "-seen"


def item_field(item: str) -> str:
    """Return the name of an item's field in the form."""
    return f"item-{item}"


def must_say_where_from(person: StaffRecord) -> bool:
    """Return whether this person must say if they belong to the unit."""
    return person.ward is None


def record_look(
    at: WardContext, book: RoundRepository, sent: Sent, *, line: str
) -> LineLook:
    """Write a look at a line; whether who looks belongs to the unit is kept with it.

    Typed are an answer for each question (`item_field`), ``note``, ``observed`` (key of
    the person watched), ``belongs`` (`UNIT` or `OUTSIDE`, from a person of no ward),
    and ``corrects`` (number of the look that this one puts right). Ticked is what was
    seen, by the names of `seen_questions`: it goes on the line's chart.

    Raises
    ------
    ChartError
        Every fault at once.
    StoreError
        Nothing was written.
    """
    found, person = line_in_place(at, line), sent.by
    now = at.clock.now()
    form = Typed(sent.typed)
    answers = {}
    asked = tuple(questions(found.policy, found.record.state.case, now))
    for question in asked:
        field = item_field(question.item)
        answer = form.word(field, question.label, question.answers, needed=True)
        if answer is not None:
            answers[question.item] = answer
    if not answers and not form.faults:
        form.fault(
            "missing",
            "The policy of this ward names no item to look at.",
            NOTE,
            "add [[round_item]] rows to the policy",
        )
    people = [
        one.key for one in at.staff.people(found.ward.key) if one.key != person.key
    ]
    observed = form.word(OBSERVED, "Whose work was seen", people)
    before = _corrected(form, book, line, person)
    is_own = before is None or before.observer == person.key
    from_unit = _belongs(form, person, found.ward.key) if is_own else False
    note = form.text(NOTE, "Note") or ""
    seen: list[Draft] = []
    if before is None:
        at_bed = bedside(at, found)
        failed = [one for one in asked if answers.get(one.item) == NOT_KEPT]
        seen = seen_drafts(form, sent.ticked, at_bed, person.key, failed)
    form.raise_faults()
    new = NewLook(
        found.ward.key,
        line,
        now,
        person.key,
        from_unit,
        answers,
        note,
        observed,
        found.policy.digest,
    )
    look = new if before is None else _put_right(book, before, new, person)
    # Sent again, the look and its entries are each written once; never one alone.
    with at.chart.one_at_a_time():
        kept = book.add(look, sent.submission)
        if seen:
            at.chart.append(
                seen,
                found.ward.policy_set,
                ward=found.ward.key,
                submission=f"{sent.submission}{ON_CHART}",
            )
    return kept


def _put_right(
    book: RoundRepository, before: LineLook, new: NewLook, person: StaffRecord
) -> NewLook:
    """Return a correction: the same look by the same observer, with other answers.

    Somebody who may not see whose work was watched, or the note, cannot empty them.
    """
    is_own = before.observer == person.key
    observed, note = new.observed, new.note
    if not may_see_watched(person, before.observer):
        observed = observed or book.observed([before.id]).get(before.id)
        note = note or book.notes([before.id]).get(before.id, "")
    says_it_anew = is_own and must_say_where_from(person)
    return replace(
        new,
        ward=before.ward,
        at=before.at,
        observer=before.observer,
        from_unit=new.from_unit if says_it_anew else before.from_unit,
        observed=observed,
        note=note,
        corrects=before.id,
        by=None if is_own else person.key,
    )


def _belongs(form: Typed, person: StaffRecord, ward: str) -> bool:
    if not must_say_where_from(person):
        return person.ward == ward
    said = form.word(BELONGS, "Where you come from", (UNIT, OUTSIDE), needed=True)
    return said == UNIT


def _corrected(
    form: Typed, book: RoundRepository, line: str, person: StaffRecord
) -> LineLook | None:
    typed = form.text(CORRECTS, "Correction")
    if typed is None:
        return None
    look = book.look(int(typed)) if typed.isascii() and typed.isdigit() else None
    if look is None or look.line != line:
        form.fault(
            "no-such-look",
            "There is no such look at this line to correct.",
            CORRECTS,
            "open the look again from the round",
        )
        return None
    if not may_correct_of(person, look.observer):
        raise ChartError(
            [
                Fault(
                    "round-not-yours",
                    "Somebody else looked at this line.",
                    CORRECTS,
                    "ask them, a charge nurse or an educator to correct it",
                )
            ]
        )
    return look
