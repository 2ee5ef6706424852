"""What a change plan says: plain frozen values, ready to show, print or send."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Excluded:
    """An agent, dressing or bath that a rule bars from this child, and why."""

    item: str
    rule: str
    because: str
    source: str


@dataclass(frozen=True, slots=True)
class Question:
    """A fact that must be asked for.

    ``blocks`` is whether the antiseptic cannot be chosen without it; otherwise the
    plan takes the safe side until it is answered, and says so.
    """

    fact: str
    ask: str
    because: str
    rules: tuple[str, ...]
    blocks: bool


@dataclass(frozen=True, slots=True)
class Technique:
    """The antiseptic and how it is used; times in seconds, area in mm.

    ``scrub_s`` and ``seconds_per_swab`` are None where the policy names no time.
    ``rules`` names what set the times.
    """

    agent: str
    label: str
    swabs: int
    seconds_per_swab: int | None
    scrub_s: int | None
    dry_s: int
    dry_judgement: str
    motion: str
    motion_words: str
    area_mm: tuple[float, float]
    residue_removed_with: str | None
    residue_words: str | None
    helper: str | None
    because: tuple[str, ...]
    rules: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NewDressing:
    """The dressing to put on: how long it may stay at most (hours; None: until it fails).

    ``next_due`` is when it falls due if the change is done at the plan's instant (UTC).
    """

    kind: str
    label: str
    stays_h: float | None
    stays_words: str
    next_due: datetime | None
    rule: str
    source: str


@dataclass(frozen=True, slots=True)
class Later:
    """A change of the answer to come: at an instant (UTC), or when something is charted."""

    what: str
    at: datetime | None = None
    when: str | None = None


@dataclass(frozen=True, slots=True)
class SupplyLine:
    """Something to lay out: from the kit, or to fetch."""

    item: str
    label: str
    count: int
    in_kit: bool
    size: str | None
    because: str
    source: str


@dataclass(frozen=True, slots=True)
class RoleLine:
    """One of the people, what falls to them and the gloves that fit (None: unknown)."""

    id: str
    label: str
    does: str
    gloves: str
    glove_size: str | None


@dataclass(frozen=True, slots=True)
class Remark:
    """A caution, or something to look at, with its rule and source."""

    text: str
    rule: str
    source: str


@dataclass(frozen=True, slots=True)
class Stance:
    """What one source says on a disputed point."""

    source: str
    title: str
    says: str


@dataclass(frozen=True, slots=True)
class Dispute:
    """A point on which published guidance disagrees and that touches this child."""

    id: str
    topic: str
    because: str
    about: tuple[str, ...]
    positions: tuple[Stance, ...]


@dataclass(frozen=True, slots=True)
class ChartItem:
    """Something to chart afterwards; ``low`` and ``high`` bound what is possible."""

    id: str
    label: str
    kind: str
    required: bool
    low: float | None
    high: float | None
    choices: tuple[str, ...]
    because: str


@dataclass(frozen=True, slots=True)
class Fired:
    """A rule that took part in the answer, with what it rests on."""

    rule: str
    because: str
    source: str
    source_title: str
    how: str
    where: str


@dataclass(frozen=True, slots=True)
class Plan:
    """One dressing change, decided for one child, one line and one instant (UTC).

    Attributes
    ----------
    verdict
        "plan", "ask" (the antiseptic depends on what is not known) or "stop"
        (nobody may go on without the person in ``call``).
    sentence
        The answer as a colleague would say it.
    until_known
        With "ask": an agent that is right whatever the answers turn out to be, if
        there is one.
    excluded, not_for_this_child
        Barred agents; barred dressings and baths.
    referred_by
        Ids of the rules by which a person must decide.
    fired, undecided
        Rules that hold, and rules that the known facts do not decide.
    """

    at: datetime
    verdict: str
    sentence: str
    antiseptic: Technique | None
    until_known: str | None
    dressing: NewDressing | None
    excluded: tuple[Excluded, ...]
    not_for_this_child: tuple[Excluded, ...]
    questions: tuple[Question, ...]
    changes_later: tuple[Later, ...]
    supplies: tuple[SupplyLine, ...]
    staff: int
    masks_within_m: float
    roles: tuple[RoleLine, ...]
    cautions: tuple[Remark, ...]
    looks: tuple[Remark, ...]
    disagreements: tuple[Dispute, ...]
    chart: tuple[ChartItem, ...]
    call: str | None
    stop_because: tuple[str, ...]
    referred_by: tuple[str, ...]
    fired: tuple[Fired, ...]
    undecided: tuple[Fired, ...]
    policy_set: str
    policy_title: str
    policy_version: str
