"""Write a child of the solver's as the mapping of a case file."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import z3

from lumenkeep.core.model import Child, Line, weeks_and_days
from lumenkeep.core.model.closed_facts import stated_once_in
from lumenkeep.core.model.quantities import DAYS_PER_WEEK, whole_or_not
from lumenkeep.core.policy.solver.child import CHOICES, UNKNOWN

if TYPE_CHECKING:
    from datetime import datetime

    from lumenkeep.core.model.closed_facts import Table
    from lumenkeep.core.policy.solver.child import SymbolicChild


@dataclass(frozen=True, slots=True)
class Example:
    """A child that shows something: a case, and the instant to ask about (ISO).

    ``later`` is a second instant for what changes as the child grows.
    """

    case: dict[str, Any]
    at: str
    later: str | None = None


class _Values:
    """Reads the solver's model."""

    def __init__(self, model: z3.ModelRef) -> None:
        self._model = model

    def number(self, term: Any) -> float | int:
        found = self._model.eval(term, model_completion=True)
        if z3.is_int_value(found):
            return int(found.as_long())
        top, bottom = found.numerator_as_long(), found.denominator_as_long()
        return whole_or_not(float(top) / float(bottom))

    def whole(self, term: Any) -> int:
        return int(self.number(term))

    def holds(self, term: Any) -> bool:
        return bool(z3.is_true(self._model.eval(term, model_completion=True)))

    def word(self, child: SymbolicChild, fact: str) -> str | None:
        code = self.whole(child.choice_known[fact])
        return None if code == UNKNOWN else CHOICES[fact][code]

    def members(self, child: SymbolicChild, fact: str) -> list[str] | None:
        if not self.holds(child.set_known[fact]):
            return None
        return [word for word, has in child.members[fact].items() if self.holds(has)]


def written_case(
    model: z3.ModelRef,
    child: SymbolicChild,
    later: SymbolicChild | None,
    born: datetime,
) -> Example:
    """Return the case of a model in which the child was born at ``born`` (UTC).

    Parameters
    ----------
    model
        The solver's.
    child
        The child at the instant asked about.
    later
        The same child at a later instant, if the query speaks of two.
    born
        Birth that the model was pinned to.
    """
    values = _Values(model)
    at = born + timedelta(minutes=values.whole(child.age_high))
    who = _who(values, child, born, at)
    after = None
    if later is not None:
        after = (born + timedelta(minutes=values.whole(later.age_high))).isoformat()
        if values.holds(later.mass_known):
            weighing = {"at": after, "g": values.number(later.mass)}
            who.setdefault("weights", []).append(weighing)
    line = _line(values, child)
    return Example({"child": who, "line": line}, at.isoformat(), after)


def _who(
    values: _Values, child: SymbolicChild, born: datetime, at: datetime
) -> dict[str, Any]:
    who: dict[str, Any] = {}
    if values.holds(child.age_known):
        exact = values.number(child.age_low) == values.number(child.age_high)
        who["born"] = born.isoformat() if exact else born.date().isoformat()
    if values.holds(child.gestation_known):
        low = values.whole(child.gestation_low)
        exact = low == values.whole(child.gestation_high)
        weeks = f"{low // DAYS_PER_WEEK}w"
        who["gestation_at_birth"] = weeks_and_days(low) if exact else weeks
    if values.holds(child.mass_known):
        who["weights"] = [{"at": at.isoformat(), "g": values.number(child.mass)}]
    stated = {
        "sensitivities": values.members(child, "sensitivities"),
    }
    told = {key: value for key, value in stated.items() if value is not None}
    return who | told | _answers(values, child, Child)


def _line(values: _Values, child: SymbolicChild) -> dict[str, Any]:
    line = _answers(values, child, Line)
    lumens = values.whole(child.lumens_known)
    if lumens != UNKNOWN:
        line["lumens"] = lumens
    found = values.members(child, "findings")
    if found is not None:
        line["dressing"] = {"findings": found}
    return line


def _answers(values: _Values, child: SymbolicChild, table: Table) -> dict[str, Any]:
    """Return what is known of a table's facts of closed lists, by their keys."""
    return {
        fact.attribute: fact.written(answer)
        for fact in stated_once_in(table)
        if (answer := values.word(child, fact.name)) is not None
    }
