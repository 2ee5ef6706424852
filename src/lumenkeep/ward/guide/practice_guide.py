"""A guide to practise with: an invented child, and slips thrown in from the real tables.

Nothing of it is ever charted: it has no run.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from random import Random
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries import LineState
from lumenkeep.core.model import Case, Child, Dressing, Gestation, Line, Weight
from lumenkeep.core.model.times import Birth
from lumenkeep.core.planning import plan_change
from lumenkeep.core.recovery.chosen_branch import guided_branch
from lumenkeep.core.recovery.handful import often_of
from lumenkeep.core.recovery.ways_of_branch import BranchKey
from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.ward.chart.line_at_hand import LineAtHand
from lumenkeep.ward.chart.records import LineRecord
from lumenkeep.ward.guide.bundle.assemble import Opened, guide_head, with_ways
from lumenkeep.ward.guide.records import WaysSoFar
from lumenkeep.ward.site.people import StaffRecord, WardRecord

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.core.policy import Policy
    from lumenkeep.ward.guide.records import Ways

CHILD, RUN = "practice", "practice"
LINES = {
    "port-needle-change": ("port", "chest", 1),
    "line-removal": ("non-tunnelled", "internal-jugular", 2),
}
USUAL_LINE = ("picc", "upper-arm", 2)
MOST_SLIPS = 3
ASSISTANT = StaffRecord("practice-assistant", "Second person", "nurse", None, None)
# An invented schoolchild in good health: no rule of any shipped set bars anything.
BORN_AGO, LINE_AGO, WEIGHED_AGO = (
    timedelta(days=3000), timedelta(days=9), timedelta(days=2),
)  # fmt: skip
GRAMS, LENGTH_MM = 26_000.0, 40.0
PARTS_OF_SEED = 2**32


def practice_guide(
    policy: Policy,
    ward: WardRecord,
    operator: StaffRecord,
    ways: Ways,
    now: datetime,
    *,
    procedure: str,
    seed: int,
) -> WaysSoFar:
    """Return a guide on an invented child, with slips chosen by ``seed``.

    ``done`` is its bundle; None while its ways back are worked out.

    Raises
    ------
    PolicyError
        ``policy-no-such-procedure``, or the procedure files are faulty.
    ChartError
        As `guided_branch`.
    """
    bedside = bedside_of(policy, ward.day_of(now))
    found = LineAtHand(_record(procedure, ward, now), ward, policy)
    case = found.record.state.case
    plan = plan_change(case, now, policy)
    chosen = guided_branch(policy, bedside, case, plan, procedure, {})
    day = ward.day_of(now)
    question = BranchKey.of(chosen.branch, often_of(bedside, day))
    so_far = ways.of(ward.policy_set, policy, question)
    if so_far.done is None:
        return so_far
    opened = Opened(RUN, operator, ASSISTANT, "", now, "")
    head = guide_head(opened, found, plan, chosen, ())
    bundle = with_ways(head, so_far.done)
    bundle["practice"] = {
        "seed": seed,
        "slips": thrown_in(so_far.done["ways"], [s["id"] for s in head["steps"]], seed),
    }
    return WaysSoFar(1.0, bundle)


def thrown_in(
    ways: Mapping[str, list[dict[str, Any]]], order: list[str], seed: int
) -> list[dict[str, str]]:
    """Return the slips of one practice run, in the order of the steps.

    No two at one step, none twice; at most the last ends the work.
    """
    chance = Random(seed % PARTS_OF_SEED)  # noqa: S311  practice, not a secret
    steps = [step for step in order if step in ways]
    chosen = sorted(chance.sample(steps, min(MOST_SLIPS, len(steps))), key=order.index)
    thrown: list[dict[str, str]] = []
    for number, step in enumerate(chosen):
        is_last = number == len(chosen) - 1
        seen = {one["slip"] for one in thrown}
        rows = [
            row["slip"]
            for row in ways[step]
            if (is_last or row["ending"] == "way-back") and row["slip"] not in seen
        ]
        if rows:
            thrown.append({"step": step, "slip": chance.choice(rows)})
    return thrown


def _record(procedure: str, ward: WardRecord, now: datetime) -> LineRecord:
    kind, site, lumens = LINES.get(procedure, USUAL_LINE)
    put_in = now - LINE_AGO
    child = Child(
        born=Birth.at(now - BORN_AGO),
        gestation_at_birth=Gestation.read("40w0d"),
        weights=(Weight(now - WEIGHED_AGO, GRAMS),),
        sensitivities=frozenset(),
        skin_at_site="intact",
        unit=ward.unit,
    )
    line = Line(
        kind=kind,
        site=site,
        inserted=put_in,
        lumens=lumens,
        external_length_mm=LENGTH_MM,
        stitches=0,
        dressing=Dressing("transparent", put_in, ()),
    )
    state = LineState(
        Case(child=child, line=line, zone=ward.zone), (), ((put_in, LENGTH_MM),), None
    )
    return LineRecord(
        CHILD, CHILD, "Practice child", ward.key, "practice", "left", state, 0
    )
