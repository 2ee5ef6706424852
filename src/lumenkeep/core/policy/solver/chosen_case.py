"""Write the child of a grid's point as the mapping of a case file."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model import Child, Line, weeks_and_days
from lumenkeep.core.model.closed_facts import stated_once_in
from lumenkeep.core.policy.solver.child import SETS

if TYPE_CHECKING:
    from lumenkeep.core.model.closed_facts import Table
    from lumenkeep.core.policy.solver.epoch import Epoch

TERM = 39 * 7
GROWN, TEN_YEARS = 4000, 3653


def _any_age(epoch: Epoch) -> tuple[datetime, datetime]:
    """Return a birth and an instant for sets that no age matters to."""
    return epoch.start - timedelta(days=TEN_YEARS), epoch.start


def chosen_case(chosen: dict[str, Any], epoch: Epoch) -> tuple[dict[str, Any], str]:
    """Return a case, and the instant to ask about, in which some facts are chosen.

    Parameters
    ----------
    chosen
        By the fact: its value; of a member of a list, as in "sensitivities:latex",
        whether it is there. Of the rest the case says what is plain, or nothing.
    epoch
        Stretch of days in which the child is asked about.
    """
    born, at = chosen.get("age") or _any_age(epoch)
    who: dict[str, Any] = {
        "born": born.isoformat(),
        "gestation_at_birth": weeks_and_days(
            int(chosen.get("gestation_at_birth", TERM))
        ),
        "weights": [{"at": at.isoformat(), "g": chosen.get("mass", GROWN)}],
        **_answers(Child, chosen),
    }
    lists: dict[str, list[str]] = {fact: [] for fact in SETS}
    for name, has in chosen.items():
        fact, _, word = name.partition(":")
        if word and has:
            lists[fact].append(word)
    who["sensitivities"] = lists["sensitivities"]
    of_line = _answers(Line, chosen)
    line: dict[str, Any] = {
        "kind": of_line.pop("kind"),
        "site": of_line.pop("site"),
        "lumens": int(chosen.get("lumens", 1)),
        **of_line,
        "dressing": {"findings": lists["findings"]},
    }
    return {"child": who, "line": line}, at.isoformat()


def _answers(table: Table, chosen: dict[str, Any]) -> dict[str, Any]:
    """Return the answers of a closed list that an example states: chosen, or plain."""
    return {
        fact.attribute: fact.written(answer)
        for fact in stated_once_in(table)
        if (answer := chosen.get(fact.name, fact.plain)) is not None
    }
