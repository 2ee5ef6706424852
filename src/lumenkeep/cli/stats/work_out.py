"""Work out one statistic by name, so that a department can check a number by hand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lumenkeep.cli.stats.arguments import read_arguments
from lumenkeep.cli.stats.of_charts import CHARTS
from lumenkeep.cli.stats.of_times import TIMES
from lumenkeep.cli.stats.of_units import UNITS
from lumenkeep.cli.stats.of_values import VALUES
from lumenkeep.core.model.reading import closest
from lumenkeep.errors import Fault, InputError

if TYPE_CHECKING:
    from collections.abc import Sequence

STATISTICS = {**VALUES, **CHARTS, **UNITS, **TIMES}


@dataclass(frozen=True, slots=True)
class Worked:
    """A statistic: one sentence, and all its values."""

    name: str
    sentence: str
    values: dict[str, Any]


def work_out_statistic(name: str, words: Sequence[str]) -> Worked:
    """Return a statistic.

    Parameters
    ----------
    name
        Its name, as in "poisson".
    words
        Its arguments, as in ``["events=3", "line_days=1500"]``.

    Raises
    ------
    InputError
        No such statistic, or every fault of its arguments.
    """
    found = STATISTICS.get(name)
    if found is None:
        near = closest(name, STATISTICS)
        known = ", ".join(sorted(STATISTICS))
        raise InputError(
            [
                Fault(
                    "argument-unknown-statistic",
                    f"There is no statistic '{name}'.",
                    "stats",
                    f"did you mean '{near}'?" if near else f"write one of: {known}",
                )
            ]
        )
    values = read_arguments(words, found.parameters, name)
    try:
        sentence, worked = found.work(**values)
    except (ValueError, ArithmeticError) as error:
        raise InputError(
            [
                Fault(
                    "argument-contradiction",
                    f"These values do not go together: {error}.",
                    f"stats {name}",
                    "correct them",
                )
            ]
        ) from error
    return Worked(name, sentence, worked)
