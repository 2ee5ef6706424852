"""The procedures of a set as one property of its proof."""

from __future__ import annotations

from time import perf_counter
from typing import TYPE_CHECKING

from lumenkeep.policy.prove import Breach, Part
from lumenkeep.services.procedure_files import bedside_of
from lumenkeep.services.rehearse import Stage, rehearse

if TYPE_CHECKING:
    from datetime import date

    from lumenkeep.asepsis.check import Break
    from lumenkeep.asepsis.procedure import Procedure
    from lumenkeep.policy import Policy

NAME = "aseptic"


def procedure_part(policy: Policy, day: date) -> Part:
    """Return whether every branch of every procedure of a set keeps the rules.

    Parameters
    ----------
    policy
        The set.
    day
        Day whose numbers count.

    Raises
    ------
    PolicyError
        Holding every fault of the procedure files.
    """
    start = perf_counter()
    stage = Stage(policy, bedside_of(policy), day)
    claims = 0
    breaches: dict[tuple[str, str, str], Breach] = {}
    for procedure in stage.bedside.procedures.values():
        for one in rehearse(procedure, stage).branches:
            claims += len(one.branch.acts)
            for found in one.walk.breaks:
                key = (procedure.id, found.step, found.table)
                breaches.setdefault(key, _breach(procedure, found, one.branch.name))
    return Part(NAME, claims, perf_counter() - start, tuple(breaches.values()))


def _breach(procedure: Procedure, found: Break, branch: str) -> Breach:
    places = [(s.id, s.where) for s in procedure.steps if s.id == found.step]
    return Breach(
        says=(
            f"{procedure.title}: {found.step} breaks {found.rule}. {found.says} "
            f"State: {found.state}. Branch: {branch}."
        ),
        rules=tuple(places or [(procedure.id, procedure.where)]),
        mend=found.mend,
        shown_by=None,
    )
