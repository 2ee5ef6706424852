"""One wrong change to a shipped set, and how the fault must show itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from lumenkeep.core.due import dressing_task, due_tasks
from lumenkeep.core.model import Case, Gestation, Unknown, mass_at
from lumenkeep.core.model.times import CalendarSpan
from lumenkeep.core.model.words import DRESSINGS, SET_KINDS
from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import Policy, Situation, narrowed, window_for
from lumenkeep.errors import RuleConflictError
from lumenkeep.files.case.case_file import case_from_mapping, check_at

FAULTY = "faulty"
CORE = "core"
CHG, WATER, IODINE = "chlorhexidine-alcohol", "chlorhexidine-aqueous", "povidone-iodine"
ALCOHOL = "alcohol-70"
FILM, GEL, GAUZE = "transparent", "transparent-chg-gel", "gauze"
DAY_H = 24


@dataclass(frozen=True, kw_only=True)
class Edit:
    """A change that goes with another: the fields as in `Mutant`."""

    file: str
    find: str = ""
    put: str = ""
    drop: str = ""
    add: str = ""


@dataclass(frozen=True, kw_only=True)
class Mutant:
    """One wrong change.

    Parameters
    ----------
    name
        Kebab-case.
    wrong
        What is wrong with the set now, as a sentence.
    base
        The shipped set that is proved; ``file`` is one of its files, or one of
        ``published`` where it begins with that word.
    find, put
        Text that stands in the file exactly once, and what replaces it.
    drop
        Id of the one rule to take out whole, instead of ``find``.
    add
        Text put at the end of the file.
    also
        Further changes, as of the hospital's own requirement that would have told.
    fails
        The property that must not be proved; "faulty" where the set is refused
        already when it is read, with ``code``; "core" where no child is needed to see
        it: part of "safe".
    rule, where
        The rule that the breach names, and how the place named begins.
    says
        Words of the breach, where several name the rule.
    shows
        Whether the child of the breach shows the fault.
    idle
        For a rule or a choice that decides for nobody: ids that may be taken out
        without any child's answer changing.
    """

    name: str
    wrong: str
    base: str
    file: str
    fails: str
    find: str = ""
    put: str = ""
    drop: str = ""
    add: str = ""
    also: tuple[Edit, ...] = ()
    code: str = ""
    rule: str = ""
    where: str = ""
    says: str = ""
    shows: Callable[[Seen], bool] | None = None
    idle: tuple[str, ...] = ()


@dataclass(frozen=True)
class Seen:
    """What the planner answers for the child of a breach, and who the child is."""

    policy: Policy
    case: Case
    at: datetime
    later: Seen | None = None

    @property
    def plan(self) -> Any:
        return plan_change(self.case, self.at, self.policy)

    def window(self, task: str, word: str | None = None) -> Any:
        """Return when a task falls due, under a dressing or for a set so named."""
        book = self.policy.on(self.at.date())
        situation = narrowed(Situation(self.case, self.at), book)
        if task == "set":
            situation.set_kind = word
        else:
            situation.dressing = word
        return window_for(book, situation, task)

    def has_no_time(self, task: str, word: str | None = None) -> bool:
        """Whether no interval says when the task is due, or that no clock runs."""
        window = self.window(task, word)
        return window is None or not window.counted

    def plans_twice(self, task: str) -> bool:
        """Whether two intervals of the task both hold, so that neither is picked."""
        for word in DRESSINGS if task == "dressing" else SET_KINDS:
            try:
                self.window(task, word)
            except RuleConflictError:
                return True
        return False

    def task_under(self, kind: str) -> Any:
        """Return what is due of a dressing of this kind, put on an hour ago."""
        line = self.case.line
        worn = replace(line.dressing, kind=kind, applied=self.at - timedelta(hours=1))
        case = replace(self.case, line=replace(line, dressing=worn))
        return dressing_task(due_tasks(case, self.at, self.policy))

    def is_due_under(self, kind: str) -> bool:
        """Whether a dressing of this kind is due now, though it is an hour old."""
        return bool(self.task_under(kind).is_now)

    def says_nothing_of(self, kind: str) -> bool:
        """Whether no rule says when such a dressing is due: the line says so, now."""
        task = self.task_under(kind)
        return bool(task.is_now and "says nothing" in task.why[0])

    @property
    def found(self) -> set[str]:
        found = self.case.line.dressing.findings
        return set() if isinstance(found, Unknown) else {f.kind for f in found}

    # --- the answer

    @property
    def verdict(self) -> str:
        return self.plan.verdict  # type: ignore[no-any-return]

    @property
    def agent(self) -> str | None:
        way = self.plan.antiseptic
        return way.agent if way else None

    @property
    def dressing(self) -> str | None:
        cover = self.plan.dressing
        return cover.kind if cover else None

    @property
    def stays_h(self) -> float | None:
        cover = self.plan.dressing
        return cover.stays_h if cover else None

    @property
    def scrub_s(self) -> int | None:
        return self.plan.antiseptic.scrub_s  # type: ignore[no-any-return]

    @property
    def dry_s(self) -> int:
        return self.plan.antiseptic.dry_s  # type: ignore[no-any-return]

    @property
    def laid_out(self) -> set[str]:
        return {supply.item for supply in self.plan.supplies}

    # --- the child

    def may_be_younger_than(self, *, months: int = 0, hours: float = 0) -> bool:
        """Whether birth is unknown, or age may lie below so many months, or hours."""
        born = self.case.child.born
        return isinstance(born, Unknown) or self.at < self._reaches(
            born.latest, months, hours
        )

    def may_be_as_old_as(self, *, months: int = 0, hours: float = 0) -> bool:
        """Whether birth is unknown, or age may have reached so many months, or hours."""
        born = self.case.child.born
        return isinstance(born, Unknown) or self.at >= self._reaches(
            born.earliest, months, hours
        )

    def _reaches(self, born: datetime, months: int, hours: float) -> datetime:
        if months:
            return CalendarSpan(months, 0).after(born, self.case.zone)
        return born + timedelta(hours=hours)

    def may_be_born_before(self, days: int) -> bool:
        """Whether its gestation at birth is unknown, or may be below ``days``."""
        found = self.case.child.gestation_at_birth
        return isinstance(found, Unknown) or found.days < days

    def is_born_between(self, low: int, high: int) -> bool:
        """Whether its gestation at birth is known and lies from ``low`` to below ``high``."""
        found = self.case.child.gestation_at_birth
        return isinstance(found, Gestation) and low <= found.days and found.until < high

    def is_born_at(self, days: int) -> bool:
        """Whether its gestation at birth is known, and is or may be ``days``."""
        found = self.case.child.gestation_at_birth
        return isinstance(found, Gestation) and found.days <= days <= found.until

    @property
    def grams(self) -> float | None:
        found = mass_at(self.case.child, self.at)
        return None if isinstance(found, Unknown) else found.grams

    def does_not_tolerate(self, *substances: str) -> bool:
        known = self.case.child.sensitivities
        assert not isinstance(known, Unknown)
        return set(substances) <= known

    @property
    def has_allergies_charted(self) -> bool:
        return not isinstance(self.case.child.sensitivities, Unknown)

    @property
    def skin(self) -> str | None:
        return _word(self.case.child.skin_at_site)

    @property
    def unit(self) -> str | None:
        return _word(self.case.child.unit)

    @property
    def site(self) -> str | None:
        return _word(self.case.line.site)

    @property
    def bleeds(self) -> bool:
        found = self.case.line.dressing.findings
        return not isinstance(found, Unknown) and "bleeding" in {f.kind for f in found}


def weeks(number: int, days: int = 0) -> int:
    """Return a gestation in days."""
    return number * 7 + days


def _word(fact: Any) -> str | None:
    return None if isinstance(fact, Unknown) else fact


def seen(case: dict[str, Any], at: str, later: str | None, policy: Policy) -> Seen:
    """Return what a breach's child shows; the case must be one that a file may hold."""
    read = case_from_mapping(case, "counterexample")
    moment = datetime.fromisoformat(at)
    after = None
    if later is not None:
        after = Seen(policy, read, datetime.fromisoformat(later))
        check_at(read, after.at, "counterexample")
    else:
        check_at(read, moment, "counterexample")
    return Seen(policy, read, moment, after)


def with_one_requirement(policy: Policy, id_: str) -> Policy:
    """Return a set that is held to one requirement only, as far as others can be left.

    One that bounds what a site adds to a scrub goes before any that asks for more: it
    stays whichever is asked.
    """
    held = tuple(r for r in policy.requirements if r.id == id_ or r.scrub_at_most)
    return replace(policy, requirements=held)
