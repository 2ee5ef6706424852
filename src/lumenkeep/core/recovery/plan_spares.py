"""The spares of a change plan: what its procedure wants beyond what its steps use.

They depend on the policy version and on the branch, never on the child, so that they
are worked out once and kept.

Spares depend on the policy, its day, and on what a plan lays out, never on one child;
all children of whom the plan says the same share them. Working out which branch a plan
means costs fifty times the plan itself, even where its spares are kept on disk.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any, Protocol

from lumenkeep import __version__
from lumenkeep.core.asepsis.branch import Branch, Setting, laid_out, length_of
from lumenkeep.core.asepsis.check import walk
from lumenkeep.core.planning import Plan
from lumenkeep.core.policy import keep
from lumenkeep.core.recovery.chosen_branch import ASKED
from lumenkeep.core.recovery.handful import (
    Handful,
    beside,
    handful,
    often_of,
    spares_of,
)
from lumenkeep.core.recovery.lay_out import KIT, KIT_NAME, laid_out_by_plan, supply_of
from lumenkeep.core.recovery.ways_of_branch import BranchKey
from lumenkeep.core.rehearsal.procedure_files import (
    bedside_of,
    change_procedure,
    procedures_digest,
)
from lumenkeep.core.rehearsal.stage import Stage
from lumenkeep.errors import PolicyError

if TYPE_CHECKING:
    from collections.abc import Hashable, Mapping

    from lumenkeep.core.asepsis.procedure import Bedside, Procedure
    from lumenkeep.core.model import Case
    from lumenkeep.core.policy import Policy

ENOUGH = "With these, no single slip sends anyone out of the room."
ENOUGH_ALREADY = (
    "With what is laid out already, no single slip sends anyone out of the room."
)
ASSUMED = (
    "How often each slip happens is assumed, until the ward's own slips are counted."
)
FAULTY = (
    "No spares can be named: a procedure of this policy is faulty. "
    "“lumenkeep rehearse” says which."
)
KIT_SAYS = "Of the slips, {} are mended without opening the kit."
FORMAT = 3


class KeptSpares(Protocol):
    """Where spares that were worked out are kept; it may forget any of them."""

    def get(self, key: str) -> dict[str, Any] | None:
        """Return what was kept under a key, None if nothing is."""
        ...

    def keep(self, key: str, found: dict[str, Any]) -> None:
        """Keep something under a key."""
        ...


@dataclass(frozen=True, slots=True)
class SpareLine:
    """One spare to lay out (count), and the slips that want it."""

    item: str
    label: str
    count: int
    size: str | None
    because: str
    source: str


@dataclass(frozen=True, slots=True)
class Buys:
    """Spares to lay out next, and the share of slips then covered (0 to 1)."""

    add: tuple[tuple[str, int], ...]
    share: float


@dataclass(frozen=True, slots=True)
class PlanSpares:
    """The spares of one change plan.

    Attributes
    ----------
    lines
        What to lay out beyond the plan's own supplies.
    says
        What they are good for, in a sentence.
    assumed
        What of it is assumed, in a sentence.
    first
        Which first, if not all can be had: label and count of each.
    handful
        What to lay out instead of all of them: a few packs, and a kit with the rest.
    kit_holds, kit_says
        What of the kit is wanted: label and count; how often it stays closed.
    covers, covers_closed
        Share of the slips mended with the handful; without opening the kit.
    """

    lines: tuple[SpareLine, ...]
    says: str
    assumed: str
    first: tuple[Buys, ...]
    handful: tuple[SpareLine, ...] = ()
    kit_holds: tuple[tuple[str, int], ...] = ()
    kit_says: str = ""
    covers: float = 1.0
    covers_closed: float = 1.0


@dataclass(frozen=True, slots=True)
class SparesAsked:
    """A plan's branch, ready for its spares; ``key`` names them wherever kept."""

    stage: Stage
    branch: Branch
    plan: Plan
    key: str


def spares_asked(
    policy: Policy, case: Case, plan: Plan
) -> SparesAsked | PlanSpares | None:
    """Return what a plan's spares are to be worked out from.

    What only the people at the bedside find out is taken as usual, as the plan's own
    supplies do; what is not known of the child takes the branch with the most steps.
    None where the plan names no antiseptic or no dressing, or its set has no procedure
    for a dressing. Where that is faulty the answer is there at once, and says so: a
    plan is never kept back for its spares.
    """
    if plan.antiseptic is None or plan.dressing is None:
        return None
    try:
        bedside = bedside_of(policy, plan.at.astimezone(case.zone).date())
    except PolicyError:
        return PlanSpares((), FAULTY, "", ())
    written = change_procedure(bedside)
    if written is None:
        return None
    stage = Stage.for_plan(policy, bedside, case, plan)
    setting = max(_usual(written, stage), key=lambda one: length_of(written, one))
    branch = laid_out(written, bedside, setting)
    if not walk(branch).is_sound:
        return PlanSpares((), FAULTY, "", ())
    question = BranchKey.of(branch, often_of(bedside, stage.day))
    return SparesAsked(stage, branch, plan, _key(policy, question))


def _key(policy: Policy, question: BranchKey) -> str:
    """Return what changes when anything that spares are worked out from does.

    That is what the procedures state, those of the core that count for the set among
    it, and the branch. What else the rules say reaches them by way of the branch alone,
    so that sets which differ in their rules share what was worked out.
    """
    core = policy.core.procedures if policy.core else None
    parts = [
        FORMAT,
        __version__,
        procedures_digest(policy),
        core.procedures if core else (),
        sorted(one.id for one in policy.loosened),
        asdict(question),
    ]
    whole = json.dumps(parts, sort_keys=True).encode()
    return hashlib.sha256(whole).hexdigest()


def _usual(written: Procedure, stage: Stage) -> list[Setting]:
    first = {fact: words[0] for fact, words in stage.vary_of(written) if fact in ASKED}
    return [
        stage.setting(written, words)
        for words in stage.settings_of(written)
        if all(words[fact] == (word,) for fact, word in first.items())
    ]


def spares_kept(asked: SparesAsked | PlanSpares, kept: KeptSpares) -> PlanSpares | None:
    """Return a plan's spares if they are kept; None if they must be worked out."""
    if isinstance(asked, PlanSpares):
        return asked
    found = kept.get(asked.key)
    return None if found is None else _shown(asked, found)


def spares_in_plan(asked: SparesAsked | PlanSpares, kept: KeptSpares) -> PlanSpares:
    """Return a plan's spares, worked out where they are not kept, and kept then."""
    if isinstance(asked, PlanSpares):
        return asked
    found = kept.get(asked.key)
    if found is None:
        found = spares_of(asked.stage, asked.branch)
        kept.keep(asked.key, found)
    return _shown(asked, found)


def _shown(asked: SparesAsked, found: Mapping[str, Any]) -> PlanSpares:
    beyond = _beyond_the_steps(asked)
    lines = [
        _line(asked, found, name, more)
        for name in asked.branch.items
        if (more := found["items"].get(name, 0) - beyond.get(name, 0)) > 0
    ]
    few = handful(
        found["items"],
        found["wants"],
        beside(asked.stage, asked.branch, asked.plan),
    )
    laid = [
        _line(asked, found, name, few.loose[name])
        for name in asked.branch.items
        if name in few.loose
    ]
    holds = [(_called(asked, name)[0], few.kit[name]) for name in few.only_in_kit]
    if few.kit:
        # Of what the kit is wanted for, the first says whence.
        source = _line(asked, found, few.only_in_kit[0], 1).source
        laid.append(_kit_line(holds, source))
    return PlanSpares(
        lines=tuple(lines),
        says=_says(laid, few),
        assumed=ASSUMED,
        first=tuple(_first(found["order"], lines)),
        handful=tuple(laid),
        kit_holds=tuple(holds),
        kit_says=KIT_SAYS.format(in_hundred(few.covers_closed)) if few.kit else "",
        covers=few.covers,
        covers_closed=few.covers_closed,
    )


def _line(
    asked: SparesAsked, found: Mapping[str, Any], name: str, count: int
) -> SpareLine:
    because, source = _because(asked.stage.bedside, found["slips"].get(name, ()))
    label, size = _called(asked, name)
    return SpareLine(name, label, count, size, because, source)


def _kit_line(holds: list[tuple[str, int]], source: str) -> SpareLine:
    what = ", ".join(f"{n} x {said[:1].lower()}{said[1:]}" for said, n in holds)
    because = f"For the rest, of which it holds {what}."
    return SpareLine(KIT, KIT_NAME, 1, None, because, source)


def _says(laid: list[SpareLine], few: Handful) -> str:
    if not laid:
        return ENOUGH_ALREADY
    if few.covers < 1:
        return (
            f"With these, {in_hundred(few.covers)} slips send nobody out of the room."
        )
    return ENOUGH


def in_hundred(share: float) -> str:
    """Return a share of slips in words: "all" only where it is all of them."""
    return "all" if share >= 1 else f"{int(share * 100)} of 100"


def _beyond_the_steps(asked: SparesAsked) -> dict[str, int]:
    """Return what the plan lays out of each item beyond what the steps use (count)."""
    names = asked.branch.items
    laid = laid_out_by_plan(asked.stage.bedside.items, names, asked.plan)
    return {
        name: max(0, laid[name] - used)
        for name, used in zip(names, asked.branch.planned(), strict=True)
    }


def _called(asked: SparesAsked, name: str) -> tuple[str, str | None]:
    """Return label and size of an item, as the plan's own list calls it."""
    item, plan = asked.stage.bedside.items[name], asked.plan
    supply = supply_of(name, item.supply, plan)
    line = next((one for one in plan.supplies if one.item == supply), None)
    return (item.label, None) if line is None else (line.label, line.size)


def _because(bedside: Bedside, slips: tuple[str, ...]) -> tuple[str, str]:
    """Return why a spare is laid out, and the source of the slip that wants it most."""
    named = {slip.id: slip for slip in bedside.slips}
    wanting = [named[id_] for id_ in slips if id_ in named]
    if not wanting:
        return "", ""
    says = wanting[0].says.split(". ")[0].rstrip(".")
    others = len(wanting) - 1
    more = f", and for {others} other slip{'s' * (others > 1)}" if others else ""
    return f"If {says[0].lower()}{says[1:]}{more}.", wanting[0].source


def _first(order: list[dict[str, Any]], lines: list[SpareLine]) -> list[Buys]:
    """Return in which order to lay the lines out, and what each step covers."""
    left = {line.item: line.count for line in lines}
    labels = {line.item: line.label for line in lines}
    before: dict[str, int] = {}
    found: list[Buys] = []
    for further in order:
        add = {}
        for name, count in further["items"].items():
            add[name] = min(count - before.get(name, 0), left.get(name, 0))
            left[name] = left.get(name, 0) - add[name]
        before = further["items"]
        added = tuple((labels[name], count) for name, count in add.items() if count)
        if added or not found:
            found.append(Buys(added, further["share"]))
        else:
            found[-1] = Buys(found[-1].add, further["share"])
    return found


_REGIONS: dict[Hashable, Any] = {}
_UNKNOWN = object()


def forget_regions() -> None:
    """Forget what is kept in memory; what is kept elsewhere stays."""
    _REGIONS.clear()


def spares_of_plan(
    policy: Policy, case: Case, plan: Plan, kept: KeptSpares
) -> PlanSpares | None:
    """Return a plan's spares, worked out if need be; None where it has none."""
    region = _region(policy, case, plan)
    found = _REGIONS.get(region, _UNKNOWN)
    if found is _UNKNOWN:
        asked = spares_asked(policy, case, plan)
        found = None if asked is None else spares_in_plan(asked, kept)
        keep(_REGIONS, region, found)
    return found  # type: ignore[no-any-return]  # kept as such a few lines above


def spares_at_once(
    policy: Policy, case: Case, plan: Plan, kept: KeptSpares
) -> tuple[PlanSpares | None, bool]:
    """Return a plan's spares where they are kept, and whether they are to come."""
    region = _region(policy, case, plan)
    found = _REGIONS.get(region, _UNKNOWN)
    if found is not _UNKNOWN:
        return found, False
    asked = spares_asked(policy, case, plan)
    spares = None if asked is None else spares_kept(asked, kept)
    is_to_come = asked is not None and spares is None
    if not is_to_come:
        keep(_REGIONS, region, spares)
    return spares, is_to_come


def _region(policy: Policy, case: Case, plan: Plan) -> Hashable:
    """Return all that a plan's spares depend on."""
    return (
        policy.id,
        policy.digest,
        plan.at.astimezone(case.zone).date(),
        plan.antiseptic,
        plan.dressing.kind if plan.dressing else None,
        case.line.site,
        case.child.unit,
        case.line.dressing.kind,
        plan.supplies,
    )
