"""Read the rules about watching a line from their tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model.signs import SIGNS
from lumenkeep.core.policy.watch_rules import (
    DIRECTIONS,
    WHO,
    ConcernRule,
    Grade,
    LengthLimit,
    Measuring,
    Scale,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from lumenkeep.core.model.reading import Reader
    from lumenkeep.core.policy.read_basics import RuleReader
    from lumenkeep.core.policy.rules import Rule

HIGHEST_GRADE = 100


def _length_limit(row: Reader, reading: RuleReader) -> LengthLimit:
    shared = reading.shared(row)
    rule = LengthLimit(
        **shared,
        direction=row.word("direction", DIRECTIONS, needed=True) or "either",
        at_least=reading.may(row, "at_least", "length", shared["id"]),
        above=reading.may(row, "above", "length", shared["id"]),
    )
    if (rule.at_least is None) == (rule.above is None):
        row.fault(
            "one-limit",
            f"Limit '{rule.id}' needs either 'at_least' or 'above', and not both.",
            "at_least",
            "at_least counts the number itself, above leaves it out; above 0 is any change",
        )
    return rule


def _measuring(row: Reader, reading: RuleReader) -> Measuring:
    shared = reading.shared(row)
    id_ = shared["id"]
    return Measuring(
        **shared,
        error=reading.needs(row, "error", "length", id_),
        other_arm=reading.may(row, "other_arm", "length", id_),
        usual_move=reading.needs(row, "usual_move", "length", id_),
        moves=reading.needs(row, "moves", "percent", id_),
        false_alarm=reading.needs(row, "false_alarm", "percent", id_),
        over=reading.may(row, "over", "count", id_),
        asks=reading.may(row, "asks", "percent", id_),
        pair_within=reading.may(row, "pair_within", "elapsed", id_),
        arm_note=row.text("arm_note"),
        reports=row.flag("reports"),
        priority=row.whole("priority", low=0, high=99, unit="steps") or 0,
    )


def _scale(row: Reader, reading: RuleReader) -> Scale:
    shared = reading.shared(row)
    grades = []
    for one in row.rows("grades"):
        grade = one.whole("grade", low=0, high=HIGHEST_GRADE, unit="grade", needed=True)
        says = one.text("says", needed=True)
        one.finish()
        if grade is not None and says is not None:
            grades.append(Grade(grade, says))
    if not grades:
        row.fault("missing", "No grade is given.", "grades", "say what each one means")
    highest = row.whole("highest", low=0, high=HIGHEST_GRADE, unit="grade", needed=True)
    found = [grade.grade for grade in grades]
    if sorted(set(found)) != found or any(grade > (highest or 0) for grade in found):
        row.fault(
            "grades-out-of-order",
            f"The grades of scale '{shared['id']}' do not rise from row to row up to "
            "its highest.",
            "grades",
            "write the lowest first, each grade once, and none above 'highest'",
        )
    return Scale(
        **shared,
        label=row.text("label", needed=True) or "",
        population=row.text("population", needed=True) or "",
        grades=tuple(grades) or (Grade(0, ""),),
        highest=highest or 0,
        reports=row.flag("reports"),
    )


def _concern(row: Reader, reading: RuleReader) -> ConcernRule:
    shared = reading.shared(row)
    id_ = shared["id"]
    rule = ConcernRule(
        **shared,
        label=row.text("label", needed=True) or "",
        signs=row.words("signs", SIGNS, needed=True),
        scale=row.text("scale"),
        grade_at_least=reading.may(row, "grade_at_least", "count", id_),
        rise_at_least=reading.may(row, "rise_at_least", "length", id_),
        asks=row.text("asks", needed=True) or "",
        hold=row.text("hold"),
        who=row.word("who", WHO, needed=True) or "nurse",
        act_within=reading.needs(row, "act_within", "elapsed", id_),
        settle_within=reading.needs(row, "settle_within", "elapsed", id_),
        then=row.word("then", WHO, needed=True) or "charge-nurse",
    )
    if ("grade" in rule.signs) != (
        rule.scale is not None and rule.grade_at_least is not None
    ):
        row.fault(
            "grade-without-scale",
            f"Concern '{rule.id}' needs 'grade' among its signs, a 'scale' and a "
            "'grade_at_least' together, or none of them.",
            "scale",
            "name the scale and the grade from which it is a concern",
        )
    return rule


WATCH_KINDS: Mapping[str, Callable[[Reader, RuleReader], Rule]] = {
    "length_limit": _length_limit,
    "measuring": _measuring,
    "scale": _scale,
    "concern": _concern,
}
"""The lists of watch rules a file may hold, and what reads one row of each."""
