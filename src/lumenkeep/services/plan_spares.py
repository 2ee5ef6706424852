"""The spares of a change plan: what its procedure wants beyond what its steps use.

They depend on the policy version and on the branch, never on the child, so that they
are worked out once and kept.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any, Protocol

from lumenkeep import __version__
from lumenkeep.asepsis.branch import Branch, laid_out
from lumenkeep.asepsis.check import walk
from lumenkeep.errors import PolicyError
from lumenkeep.planning import Plan
from lumenkeep.services.branch_spares import often_of, spares_of
from lumenkeep.services.guide_branch import ASKED
from lumenkeep.services.guide_lay_out import SWAB
from lumenkeep.services.guide_ways import Question
from lumenkeep.services.procedure_files import bedside_of, procedures_digest
from lumenkeep.services.rehearse import Stage

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.asepsis.procedure import Bedside, Procedure
    from lumenkeep.model import Case
    from lumenkeep.policy import Policy

DRESSING = "dressing"
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
FORMAT = 1


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
    """

    lines: tuple[SpareLine, ...]
    says: str
    assumed: str
    first: tuple[Buys, ...]


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
        bedside = bedside_of(policy)
    except PolicyError:
        return PlanSpares((), FAULTY, "", ())
    written = next(
        (p for p in bedside.procedures.values() if DRESSING in p.resets), None
    )
    if written is None:
        return None
    stage = Stage.for_plan(policy, bedside, case, plan)
    branch = max(
        _usual(written, stage),
        key=lambda b: (len(b.acts), sum(a.seconds for a in b.acts)),
    )
    if not walk(branch).is_sound:
        return PlanSpares((), FAULTY, "", ())
    question = Question.of(branch, often_of(bedside, stage.day))
    parts = [
        FORMAT,
        __version__,
        policy.digest,
        procedures_digest(policy),
        asdict(question),
    ]
    whole = json.dumps(parts, sort_keys=True).encode()
    return SparesAsked(stage, branch, plan, hashlib.sha256(whole).hexdigest())


def _usual(written: Procedure, stage: Stage) -> list[Branch]:
    first = {fact: words[0] for fact, words in stage.vary_of(written) if fact in ASKED}
    return [
        laid_out(written, stage.bedside, stage.setting(written, words))
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
    bedside = asked.stage.bedside
    beyond = _beyond_the_steps(asked)
    lines = []
    for name in asked.branch.items:
        more = found["items"].get(name, 0) - beyond.get(name, 0)
        if more > 0:
            because, source = _because(bedside, found["slips"].get(name, ()))
            label, size = _called(asked, name)
            lines.append(SpareLine(name, label, more, size, because, source))
    return PlanSpares(
        lines=tuple(lines),
        says=ENOUGH if lines else ENOUGH_ALREADY,
        assumed=ASSUMED,
        first=tuple(_first(found["order"], lines)),
    )


def in_hundred(share: float) -> str:
    """Return a share of slips in words: "all" only where it is all of them."""
    return "all" if share >= 1 else f"{int(share * 100)} of 100"


def _beyond_the_steps(asked: SparesAsked) -> dict[str, int]:
    """Return what the plan lays out of each item beyond what the steps use (count)."""
    laid: dict[str, int] = {}
    for line in asked.plan.supplies:
        laid[line.item] = laid.get(line.item, 0) + line.count
    found = {}
    for name, used in zip(asked.branch.items, asked.branch.planned(), strict=True):
        supply = asked.stage.bedside.items[name].supply
        found[name] = max(0, laid.get(supply or "", 0) - used)
    return found


def _called(asked: SparesAsked, name: str) -> tuple[str, str | None]:
    """Return label and size of an item, as the plan's own list calls it."""
    item, plan = asked.stage.bedside.items[name], asked.plan
    line = next((one for one in plan.supplies if one.item == item.supply), None)
    if line is not None:
        return line.label, line.size
    if name == SWAB and plan.antiseptic is not None:
        return f"{item.label}: {plan.antiseptic.label}", None
    return item.label, None


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
