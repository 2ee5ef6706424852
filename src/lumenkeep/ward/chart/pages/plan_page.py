"""A change plan as its page says it: every row already in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.model import words
from lumenkeep.core.planning.plan import (
    Dispute,
    Excluded,
    Plan,
    Question,
    SupplyLine,
    Technique,
)
from lumenkeep.core.recovery.plan_spares import in_hundred
from lumenkeep.text.moments import capital, counted, lower_first, moment_in_words
from lumenkeep.ward.site.pages.shapes import Group, Told

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping
    from datetime import tzinfo

    from lumenkeep.core.recovery.plan_spares import PlanSpares, SpareLine

SECONDS_PER_MINUTE = 60
MM_PER_CM = 10
VERDICTS = {
    "plan": "What this change needs",
    "ask": "Ask before you begin",
    "stop": "Stop, and call",
}


BARRIER_FILM = "barrier-film"
AskRow = tuple[Question, str | None]
"""A question, and where to chart its answer (None: not on this page's child)."""


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One row of a list: the thing, the amount or manner, and a note under it."""

    what: str
    amount: str = ""
    note: str = ""
    is_fetch: bool = False


@dataclass(frozen=True, slots=True)
class PlanPage:
    """All that the plan page shows, in the order in which it is read."""

    plan: Plan
    heading: str
    lines: tuple[str, ...]
    skin: tuple[PlanRow, ...]
    lay_out: tuple[PlanRow, ...]
    in_kit: tuple[PlanRow, ...]
    people: tuple[PlanRow, ...]
    afterwards: tuple[PlanRow, ...]
    barred: tuple[Group[Excluded], ...]
    also_barred: tuple[Group[Excluded], ...]
    asks_first: tuple[AskRow, ...]
    asks: tuple[AskRow, ...]
    later: tuple[Told, ...]
    until_known_label: str

    @property
    def people_heading(self) -> str:
        """How many people, in words."""
        return counted(self.plan.staff, "person", "people")

    @property
    def is_stop(self) -> bool:
        """Whether nobody goes on before somebody has been called."""
        return self.plan.verdict == "stop"

    @property
    def disputes_here(self) -> tuple[Dispute, ...]:
        """What published guidance disputes about this very change."""
        return tuple(d for d in self.plan.disagreements if not _is_elsewhere(d))

    @property
    def disputes_elsewhere(self) -> tuple[Dispute, ...]:
        """What it disputes about other care of the line."""
        return tuple(d for d in self.plan.disagreements if _is_elsewhere(d))

    @property
    def motion(self) -> str:
        """Name of the motion to draw; empty where no antiseptic is chosen."""
        return self.plan.antiseptic.motion if self.plan.antiseptic else ""

    @property
    def has_barrier_film(self) -> bool:
        """Whether barrier film is laid out, so that where it goes is drawn."""
        return any(line.item == BARRIER_FILM for line in self.plan.supplies)


def _is_elsewhere(dispute: Dispute) -> bool:
    return set(dispute.about) <= {"due", "assessment"}


def plan_page(
    plan: Plan,
    zone: tzinfo,
    labels: Mapping[str, str],
    fact_href: Callable[[str], str | None],
) -> PlanPage:
    """Return the page of a plan.

    Parameters
    ----------
    plan
        As the planner made it.
    zone
        The ward's zone.
    labels
        Plain names of agents by id.
    fact_href
        Where a fact can be charted; None where it cannot.
    """
    fetch = [line for line in plan.supplies if not line.in_kit]
    kit = [line for line in plan.supplies if line.in_kit]
    asks = tuple((q, fact_href(q.fact)) for q in plan.questions)
    return PlanPage(
        plan=plan,
        heading=VERDICTS.get(plan.verdict, ""),
        lines=_sentences(plan),
        skin=_skin_rows(plan.antiseptic) if plan.antiseptic else (),
        lay_out=tuple(_supply_row(line) for line in fetch),
        in_kit=tuple(_supply_row(line) for line in kit),
        people=_people_rows(plan),
        afterwards=_afterwards_rows(plan, zone),
        barred=_barred(plan.excluded, labels),
        also_barred=_barred(plan.not_for_this_child, labels),
        asks_first=tuple(ask for ask in asks if ask[0].blocks),
        asks=tuple(ask for ask in asks if not ask[0].blocks),
        later=tuple(
            Told(
                capital(moment_in_words(item.at, plan.at, zone))
                if item.at
                else f"When {item.when}",
                item.what,
            )
            for item in plan.changes_later
        ),
        until_known_label=labels.get(plan.until_known or "", plan.until_known or ""),
    )


def spares_shown(spares: PlanSpares) -> dict[str, object]:
    """Return the spares as the page shows them: to lay out, all, and which first."""
    return {
        "rows": _spare_rows(spares.handful),
        "says": f"{spares.says} {spares.kit_says}".strip(),
        "every": _spare_rows(spares.lines),
        "first": tuple(
            PlanRow(
                ", ".join(
                    f"{count} × {lower_first(label)}" for label, count in buys.add
                )
                or "None of them",
                in_hundred(buys.share),
            )
            for buys in spares.first
        ),
        "assumed": spares.assumed,
    }


def _spare_rows(lines: Iterable[SpareLine]) -> tuple[PlanRow, ...]:
    return tuple(
        PlanRow(
            f"{line.label}{f', size {line.size}' if line.size else ''}",
            f"{line.count} ×",
            line.because,
        )
        for line in lines
    )


def seconds_in_words(seconds: int) -> str:
    """Return a time as it is counted at the bedside: "30 s", "2 min", "1 min 30 s"."""
    minutes, rest = divmod(seconds, SECONDS_PER_MINUTE)
    if not minutes:
        return f"{rest} s"
    return f"{minutes} min {rest} s" if rest else f"{minutes} min"


def area_in_words(area_mm: tuple[float, float]) -> str:
    """Return a width of skin in cm, as a ruler shows it."""
    low, high = (f"{mm / MM_PER_CM:g}" for mm in area_mm)
    return f"{low} cm" if low == high else f"{low} to {high} cm"


def _sentences(plan: Plan) -> tuple[str, ...]:
    """Return the answer's first sentence, and the rest, to stand on lines of their own.

    Whom to call has a place of its own on the page, and is not said twice.
    """
    first, dot, rest = plan.sentence.partition(". ")
    if plan.verdict == "stop" and plan.call:
        rest = rest.removesuffix(f"Call {plan.call}.").strip()
    return (first + dot.strip(), rest) if rest else (first.rstrip(".") + ".",)


def _skin_rows(how: Technique) -> tuple[PlanRow, ...]:
    each = seconds_in_words(how.seconds_per_swab) if how.seconds_per_swab else ""
    rows = [PlanRow(how.label, counted(how.swabs, "swab", "swabs"), how.motion_words)]
    if how.scrub_s:
        rows.append(
            PlanRow("Scrub", seconds_in_words(how.scrub_s), each and f"{each} a swab")
        )
    rows.append(PlanRow("Area around the site", area_in_words(how.area_mm)))
    rows.append(
        PlanRow(
            "Leave to dry", f"{seconds_in_words(how.dry_s)} at least", how.dry_judgement
        )
    )
    if how.residue_removed_with:
        name = capital(how.residue_removed_with.replace("-", " "))
        rows.append(PlanRow(name, "once dry", how.residue_words or ""))
    if how.helper:
        rows.append(PlanRow("Second person", "", how.helper))
    return tuple(rows)


def _supply_row(line: SupplyLine) -> PlanRow:
    size = f", size {line.size}" if line.size else ""
    return PlanRow(
        f"{line.label}{size}", f"{line.count} ×", line.because, is_fetch=not line.in_kit
    )


def _people_rows(plan: Plan) -> tuple[PlanRow, ...]:
    rows = []
    for role in plan.roles:
        gloves = role.glove_size or "size not known"
        rows.append(
            PlanRow(
                role.label, f"gloves {gloves}", f"{role.does} Gloves: {role.gloves}."
            )
        )
    return tuple(rows)


def _afterwards_rows(plan: Plan, zone: tzinfo) -> tuple[PlanRow, ...]:
    rows = []
    if plan.dressing is not None:
        rows.append(
            PlanRow("New dressing", plan.dressing.label, plan.dressing.stays_words)
        )
        if plan.dressing.next_due:
            due = moment_in_words(plan.dressing.next_due, plan.at, zone)
            rows.append(PlanRow("Next change, if this is done now", due))
    rows += [PlanRow(look.text) for look in plan.looks]
    required = [item.label for item in plan.chart if item.required]
    if required:
        rows.append(PlanRow("Chart", "", ", ".join(required)))
    return tuple(rows)


def _barred(
    excluded: tuple[Excluded, ...], labels: Mapping[str, str]
) -> tuple[Group[Excluded], ...]:
    by_item: dict[str, list[Excluded]] = {}
    for one in excluded:
        by_item.setdefault(one.item, []).append(one)
    return tuple(
        Group(
            lower_first(
                labels.get(item) or words.DRESSINGS.get(item) or item.replace("-", " ")
            ),
            reasons,
        )
        for item, reasons in by_item.items()
    )
