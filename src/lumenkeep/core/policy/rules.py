"""The kinds of rule a policy set may hold, as plain frozen values.

Each carries an id, the reason in plain language, its source, how the source is
known, and where it stands in the files. Numbers are named by id and looked up for
the day in question.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from lumenkeep.core.policy.conditions import When


@dataclass(frozen=True, slots=True)
class Source:
    """A document, or common practice, that rules and numbers rest on.

    ``how`` is "found" (its text was seen), "memory" (to be confirmed against the
    edition in force) or "common-practice" (no publication behind it).
    """

    id: str
    title: str
    body: str
    year: int | None
    address: str | None
    covers: str | None
    how: str


@dataclass(frozen=True, slots=True)
class Rule:
    """What every rule has.

    ``numbers`` are ids that its sentences may name beside those it decides with;
    ``reports`` says that they report a document, and may hold its figures.
    """

    id: str
    because: str
    source: str
    how: str | None
    where: str
    when: When
    numbers: tuple[str, ...] = field(default=(), kw_only=True)
    reports: bool = field(default=False, kw_only=True)


@dataclass(frozen=True, slots=True)
class Exclusion(Rule):
    """Bars agents, dressings or baths from a child; ``if_unknown`` is "ask" or "look".

    "look" is for what only the bared site can show: the plan goes on and says what
    to do if it is so. ``takes_away`` says openly that the rule may bar, as a child
    grows, what was allowed before.
    """

    bars: tuple[str, ...]
    if_unknown: str
    lifts: str | None
    takes_away: bool


@dataclass(frozen=True, slots=True)
class Referral(Rule):
    """Says that these children need a person's decision, and whom to call."""

    call: str | None
    takes_away: bool


@dataclass(frozen=True, slots=True)
class Agent(Rule):
    """An antiseptic and how it is used; number fields hold ids of numbers."""

    label: str
    contains: tuple[str, ...]
    strength: str | None
    swabs: str
    seconds_per_swab: str | None
    dry: str
    dry_judgement: str
    motion: str
    motion_words: str
    area_low: str
    area_high: str
    residue: str | None
    residue_words: str | None
    helper: str | None


@dataclass(frozen=True, slots=True)
class SiteRule(Rule):
    """Times that a site asks for whatever the agent: never shorter than these."""

    scrub: str
    dry: str


@dataclass(frozen=True, slots=True)
class Interval(Rule):
    """When a task may and must be done, counted from the last time it was.

    ``not_before``, ``not_after`` and ``every`` hold ids of numbers. With neither
    limit the task waits for a finding, and ``every`` says how often to look. With
    ``nothing_due`` the task does not arise at all.
    """

    task: str
    not_before: str | None
    not_after: str | None
    priority: int
    nothing_due: bool


@dataclass(frozen=True, slots=True)
class AtOnce(Rule):
    """A finding that makes a task due at once."""

    task: str


@dataclass(frozen=True, slots=True)
class Role:
    """One of the two people and what falls to them."""

    id: str
    label: str
    does: str
    gloves: str


@dataclass(frozen=True, slots=True)
class Staffing(Rule):
    """How many people, how far around masks are worn, and who does what."""

    staff: str
    masks_within: str
    roles: tuple[Role, ...]


@dataclass(frozen=True, slots=True)
class Supply(Rule):
    """Something to lay out.

    ``size_of`` names the role whose glove size it takes, or "film" for the child's film.
    """

    item: str
    label: str
    count: str
    size_of: str | None


@dataclass(frozen=True, slots=True)
class KitItem(Rule):
    """How many of a supply lie in the ready change kit, and in which size."""

    item: str
    count: str
    size: str | None


@dataclass(frozen=True, slots=True)
class Note(Rule):
    """A caution to show, or something to look at; ``kind`` is "caution" or "look"."""

    kind: str


@dataclass(frozen=True, slots=True)
class ChartField(Rule):
    """Something that must or may be charted after a change."""

    label: str
    kind: str
    required: bool
    low: str | None
    high: str | None
    choices: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Plausible(Rule):
    """What no child of these facts can be below: narrows an unknown, never a known."""

    fact: str
    at_least: str


@dataclass(frozen=True, slots=True)
class Floor(Rule):
    """A published least value for one of the set's numbers."""

    number: str
    at_least: str
    strictly: bool


@dataclass(frozen=True, slots=True)
class Requirement(Rule):
    """What must be true of the answer for these children; the proof holds a set to it.

    Lists are what the planned agent or dressing must (not) be among, or which
    verdicts are right; number fields hold ids; None and empty make no claim. With
    ``if_charted`` it speaks only of children of whom the facts are known.
    ``scrub_at_most`` bounds what a site adds to the agent's own scrub, and goes before any
    ``scrub_at_least``: where both speak of a child, the shorter scrub is the right one.
    ``at_once``, ``no_clock``, the stays and the rest speak of ``task``; before
    ``rests_at_least`` it is not done again without a finding. With ``nothing_due`` the
    task does not arise, and with ``not_at_once`` no finding makes it due. ``film_at_most``
    is the longer side of the film, ``weighing_at_most`` how long a weighing counts.
    ``not_holding`` are substances of which no agent may hold them all, whatever it is
    called; ``strength_at_most`` bounds a percentage; ``barred`` are baths.
    """

    agent: tuple[str, ...]
    not_agent: tuple[str, ...]
    not_holding: tuple[str, ...]
    dressing: tuple[str, ...]
    not_dressing: tuple[str, ...]
    verdict: tuple[str, ...]
    if_charted: bool
    barred: tuple[str, ...]
    residue_removed: bool
    strength_at_most: str | None
    scrub_at_least: str | None
    scrub_at_most: str | None
    dry_at_least: str | None
    swabs_at_least: str | None
    staff_at_least: str | None
    task: str
    at_once: bool
    not_at_once: bool
    no_clock: bool
    nothing_due: bool
    stays_at_most: str | None
    stays_at_least: str | None
    rests_at_least: str | None
    film_at_most: str | None
    weighing_at_most: str | None


@dataclass(frozen=True, slots=True)
class Position:
    """What one source says."""

    source: str
    says: str


@dataclass(frozen=True, slots=True)
class Disagreement(Rule):
    """A point on which published guidance disagrees, and for whom it matters."""

    topic: str
    about: tuple[str, ...]
    positions: tuple[Position, ...]
