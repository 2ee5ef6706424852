"""Write down what was seen at one line on a round."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.rounds.look import NOT_KEPT
from lumenkeep.errors import ChartError, Fault
from lumenkeep.ward.chart.charting.bedside import bedside
from lumenkeep.ward.chart.line_at_hand import line_in_place
from lumenkeep.ward.rounds.questions import questions
from lumenkeep.ward.rounds.records import NewLook
from lumenkeep.ward.rounds.seen import seen_drafts
from lumenkeep.ward.site.may import CORRECTS_OTHERS
from lumenkeep.ward.site.typed_values import Typed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.core.outcomes.rounds.look import LineLook
    from lumenkeep.ward.chart.records import Chart, Draft, Policies
    from lumenkeep.ward.rounds.records import RoundBook
    from lumenkeep.ward.site.people import Clock, StaffRecord

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
    book: RoundBook,
    chart: Chart,
    policies: Policies,
    clock: Clock,
    *,
    line: str,
    typed: Mapping[str, str],
    person: StaffRecord,
    staff: Sequence[StaffRecord],
    submission: str,
    ticked: Mapping[str, Sequence[str]] | None = None,
) -> LineLook:
    """Write a look at a line.

    Parameters
    ----------
    typed
        An answer for each question (`item_field`), ``note``, ``observed`` (key of the
        person watched), ``belongs`` (`UNIT` or `OUTSIDE`, from a person of no ward),
        and ``corrects`` (number of the look that this one puts right).
    ticked
        What was seen, by the names of `seen_on_round.seen_questions`: it goes on the
        line's chart.
    person
        Who looks; whether they belong to the unit is kept with the look.
    staff
        The people who may have been watched.

    Raises
    ------
    ChartError
        Every fault at once.
    StoreError
        Nothing was written.
    """
    found = line_in_place(chart, policies, line)
    now = clock.now()
    form = Typed(typed)
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
    people = {one.key for one in staff if one.key != person.key}
    observed = form.word(OBSERVED, "Whose work was seen", people)
    before = _corrected(form, book, line, person)
    is_own = before is None or before.observer == person.key
    from_unit = _belongs(form, person, found.ward.key) if is_own else False
    note = form.text(NOTE, "Note") or ""
    seen: list[Draft] = []
    if before is None:
        at_bed = bedside(chart, policies, found, now)
        failed = [one for one in asked if answers.get(one.item) == NOT_KEPT]
        seen = seen_drafts(form, ticked or {}, at_bed, person.key, failed)
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
    kept = book.add(look, submission)
    if seen:
        # Sent again, the look and its entries are each written once.
        chart.append(
            seen,
            found.ward.policy_set,
            ward=found.ward.key,
            submission=f"{submission}{ON_CHART}",
        )
    return kept


def may_see_watched(person: StaffRecord, look: LineLook) -> bool:
    """Return whether this person may see whose work a look watched, and its note."""
    return person.role == "educator" or look.observer == person.key


def _put_right(
    book: RoundBook, before: LineLook, new: NewLook, person: StaffRecord
) -> NewLook:
    """Return a correction: the same look by the same observer, with other answers.

    Somebody who may not see whose work was watched, or the note, cannot empty them.
    """
    is_own = before.observer == person.key
    observed, note = new.observed, new.note
    if not may_see_watched(person, before):
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
    form: Typed, book: RoundBook, line: str, person: StaffRecord
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
    if look.observer != person.key and person.role not in CORRECTS_OTHERS:
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
