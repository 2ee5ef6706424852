"""Solver, enumerator and planner give one answer on every side of every limit.

The solver's formulas are read back node by node and worked out for each child of the
grid from real instants; the enumerator tries every way the unknown may be; the
planner plans. The three share no code that decides.
"""

from __future__ import annotations

import itertools
import os
from collections import Counter
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from random import Random
from typing import TYPE_CHECKING, Any, NamedTuple
from zoneinfo import ZoneInfo

import pytest
import z3
from tests.fakes.enumerator import Answer, Enumerator, Facts, reached_at

from lumenkeep.core.model import (
    NOT_GIVEN,
    Birth,
    CalendarSpan,
    Case,
    Child,
    Dressing,
    Finding,
    Gestation,
    Line,
    People,
    Weight,
)
from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.solver.answers import SymbolicAnswer
from lumenkeep.core.policy.solver.child import CHOICES, SETS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from lumenkeep.core.policy import Policy

DAY = date(2026, 3, 15)
SEED = 20260315
MINUTE = timedelta(minutes=1)
SHIPPED = ("quillmere", "uk-guideline", "us-guideline")
LEAST_CASES = {"quillmere": 50_000, "uk-guideline": 30_000, "us-guideline": 25_000}
SHARES = 4
"""Each set is gone through in so many tests, which run side by side."""
PART = 1.0 if "LUMENKEEP_AGREEMENT_CASES" in os.environ else 0.06
"""How much of the grid is asked: six thousand children; `make agreement` asks all."""
NEW_YORK = ZoneInfo("America/New_York")
BIRTHS = (
    (datetime(2024, 12, 31, 23, 30, tzinfo=NEW_YORK).astimezone(UTC), NEW_YORK),
    (datetime(2024, 2, 29, 12, 0, tzinfo=UTC), UTC),
    (datetime(2025, 9, 2, 2, 30, tzinfo=NEW_YORK).astimezone(UTC), NEW_YORK),
)
SENSITIVITIES = (
    None,
    *(
        frozenset(some)
        for size in range(4)
        for some in itertools.combinations(("chlorhexidine", "iodine", "alcohol"), size)
    ),
    frozenset({"latex"}),
)
OTHERS: dict[str, tuple[Any, ...]] = {
    "sensitivities": (frozenset(), *SENSITIVITIES),
    "skin_at_site": ("intact", "intact", "broken", None),
    "site": ("femoral", "chest", None),
    "findings": (frozenset(), None, frozenset({"bleeding"}), frozenset({"damp"})),
    "unit": (None, "newborn-intensive-care", "intensive-care", "ward"),
    "line_kind": (None, "picc", "tunnelled", "umbilical-venous", "port"),
    "lumens": (None, 1, 2),
    "needle_in": (None, "yes", "no"),
    "in_use": (None, "yes", "no"),
    "tunnelled": (None, "yes", "no"),
    "patency": (None, "open", "sluggish", "no-return", "blocked"),
}


# ---------------------------------------------------------------- the grid


class Aged(NamedTuple):
    """When a child was born, and when it is asked about."""

    born: tuple[datetime, datetime] | None
    at: datetime
    zone: Any


def ages(enumerator: Enumerator) -> Iterator[Aged]:
    """Yield births and instants a minute around each limit; a day's births at it."""
    for born, zone in BIRTHS:
        yield Aged(None, born, zone)
        yield Aged((born, born), born, zone)
        day = born.astimezone(zone).date()
        whole = Birth.on(day, zone)
        for limit in enumerator.limits("age"):
            end = reached_at(born, limit, zone)
            for at in (end - MINUTE, end, end + MINUTE):
                yield Aged((born, born), at, zone)
            first = reached_at(whole.earliest, limit, zone)
            last = reached_at(whole.latest, limit, zone)
            for at in (first - MINUTE, first, last - MINUTE, last):
                yield Aged((whole.earliest, whole.latest), at, zone)


def gestations(enumerator: Enumerator) -> list[tuple[int, int] | None]:
    """Return days around each limit, the whole weeks on both sides, and unknown."""
    found: list[tuple[int, int] | None] = [None]
    for limit in enumerator.limits("gestation_at_birth"):
        found += [(limit + off, limit + off) for off in (-1, 0, 1)]
        week = limit - limit % 7
        found += [(week - 7, week - 1), (week, week + 6)]
    return list(dict.fromkeys(found))


def masses(enumerator: Enumerator) -> list[float | None]:
    """Return grams around each limit, and unknown."""
    limits = enumerator.limits("mass") or [1000]
    return [None, *sorted({m + off for m in limits for off in (-1, 0, 1)})]


def grid(enumerator: Enumerator, share: int) -> Iterator[Facts]:
    """Yield every age with every gestation and mass, the other facts in turn.

    The others, and which are left out of a part, are drawn with a fixed seed, so that
    every run asks the same.
    """
    drawn = Random(SEED + share)  # noqa: S311  a sample, not a secret
    core = itertools.product(
        ages(enumerator), gestations(enumerator), masses(enumerator)
    )
    for aged, gestation, mass in itertools.islice(core, share, None, SHARES):
        if drawn.random() >= PART:
            continue
        others = {key: drawn.choice(values) for key, values in OTHERS.items()}
        yield Facts(
            at=aged.at,
            zone=aged.zone,
            born=aged.born,
            gestation=gestation,
            mass=mass,
            **others,
        )


# ---------------------------------------------------------------- the planner's way


def or_not_given(value: Any) -> Any:
    return NOT_GIVEN if value is None else value


def yes_or_no(value: str | None) -> Any:
    return NOT_GIVEN if value is None else value == "yes"


def case_of(facts: Facts) -> Case:
    """Return the facts as a case."""
    child = Child(
        born=Birth(*facts.born) if facts.born else NOT_GIVEN,
        gestation_at_birth=Gestation(*facts.gestation)
        if facts.gestation
        else NOT_GIVEN,
        weights=() if facts.mass is None else (Weight(facts.at, facts.mass),),
        sensitivities=or_not_given(facts.sensitivities),
        skin_at_site=or_not_given(facts.skin_at_site),
        unit=or_not_given(facts.unit),
    )
    found = facts.findings
    line = Line(
        kind=or_not_given(facts.line_kind),
        site=or_not_given(facts.site),
        lumens=or_not_given(facts.lumens),
        needle_in=yes_or_no(facts.needle_in),
        in_use=yes_or_no(facts.in_use),
        tunnelled=yes_or_no(facts.tunnelled),
        patency=or_not_given(facts.patency),
        dressing=Dressing(
            findings=NOT_GIVEN
            if found is None
            else tuple(Finding(kind) for kind in sorted(found))
        ),
    )
    return Case(child, line, People(), facts.zone)


def planned(facts: Facts, policy: Policy) -> Answer:
    """Return what the planner answers."""
    plan = plan_change(case_of(facts), facts.at, policy)
    way, cover = plan.antiseptic, plan.dressing
    return Answer(
        plan.verdict,
        way.agent if way else None,
        plan.until_known,
        cover.kind if cover else None,
        cover.stays_h if cover else None,
        way.scrub_s if way else None,
        way.dry_s if way else None,
    )


# ---------------------------------------------------------------- the solver's way

JOINED = {
    z3.Z3_OP_AND: " and ",
    z3.Z3_OP_OR: " or ",
    z3.Z3_OP_ADD: " + ",
}
SPELT = {
    z3.Z3_OP_TRUE: "True",
    z3.Z3_OP_FALSE: "False",
    z3.Z3_OP_NOT: "not {}",
    z3.Z3_OP_IMPLIES: "(not {}) or {}",
    z3.Z3_OP_EQ: "{} == {}",
    z3.Z3_OP_DISTINCT: "{} != {}",
    z3.Z3_OP_ITE: "{1} if {0} else {2}",
    z3.Z3_OP_LE: "{} <= {}",
    z3.Z3_OP_LT: "{} < {}",
    z3.Z3_OP_GE: "{} >= {}",
    z3.Z3_OP_GT: "{} > {}",
    z3.Z3_OP_SUB: "{} - {}",
    z3.Z3_OP_UMINUS: "-{}",
    z3.Z3_OP_MUL: "{} * {}",
    z3.Z3_OP_DIV: "Fraction({}) / {}",
    z3.Z3_OP_MOD: "{} % {}",
    z3.Z3_OP_TO_REAL: "{}",
}


def as_function(formulas: list[z3.ExprRef]) -> Callable[[dict[str, Any]], list[Any]]:
    """Return the formulas as one Python function of the values of their variables.

    Each node of the formulas becomes one line; nodes that they share are worked out
    once.
    """
    lines: list[str] = []
    names: dict[int, str] = {}

    def name_of(node: z3.ExprRef) -> str:
        if node.get_id() not in names:
            parts = [name_of(part) for part in node.children()]
            spelt = _spelt(node, parts)
            names[node.get_id()] = f"t{len(names)}"
            lines.append(f"    {names[node.get_id()]} = {spelt}")
        return names[node.get_id()]

    told = ", ".join(name_of(formula) for formula in formulas)
    source = "\n".join(["def work_out(v):", *lines, f"    return [{told}]"])
    space: dict[str, Any] = {"Fraction": Fraction}
    exec(source, space)  # noqa: S102  the text is made just above
    return space["work_out"]  # type: ignore[no-any-return]


def _spelt(node: z3.ExprRef, parts: list[str]) -> str:
    kind = node.decl().kind()
    if z3.is_int_value(node):
        return str(node.as_long())
    if z3.is_rational_value(node):
        top, bottom = node.numerator_as_long(), node.denominator_as_long()
        return str(top) if bottom == 1 else f"Fraction({top}, {bottom})"
    if kind == z3.Z3_OP_UNINTERPRETED:
        return f"v[{node.decl().name()!r}]"
    if kind in JOINED:
        return JOINED[kind].join(parts) if parts else _empty(kind)
    return SPELT[kind].format(*parts)


def _empty(kind: int) -> str:
    return "True" if kind == z3.Z3_OP_AND else "False"


class Solver:
    """The formulas of one set, worked out for a child."""

    def __init__(self, policy: Policy) -> None:
        self.policy = policy
        self.answer = SymbolicAnswer(policy.on(DAY))
        self.spans = tuple(self.answer.child.calendar)
        formulas: dict[Any, z3.ExprRef] = {
            "model": z3.And(self.answer.child.assumptions),
            "plan": self.answer.plans,
            "ask": self.answer.asks,
            "stop": self.answer.stops,
        }
        for agent in policy.antiseptics:
            formulas["gives", agent] = self.answer.gives(agent)
            formulas["keeps", agent] = self.answer.keeps_to(agent)
            for position, live in enumerate(self.answer.book.site_rules):
                counts = self.answer.site_rule_counts(position, agent)
                formulas["site", agent, live.rule.id] = counts
        for kind in policy.dressings:
            formulas["covers", kind] = self.answer.covers(kind)
            for live, _, may in self.answer.active("dressing", {"dressing": kind}):
                formulas["stay", kind, live.rule.id] = may
        self.keys = list(formulas)
        self.work_out = as_function(list(formulas.values()))

    def answered(self, facts: Facts, least_mass: float) -> Answer:
        """Return the answer that the formulas give; the child must be of the model."""
        known = values(facts, self.spans) | {"mass_least": least_mass}
        true = dict(zip(self.keys, self.work_out(known), strict=True))
        assert true["model"], f"outside the solver's model: {facts}"
        [verdict] = [word for word in ("plan", "ask", "stop") if true[word]]
        agent = self._only(true, "gives")
        until = self._only(true, "keeps")
        kind = self._only(true, "covers")
        stays = self._stay(true, kind) if kind else None
        scrub, dry = self._times(true, agent) if agent else (None, None)
        return Answer(verdict, agent, until, kind, stays, scrub, dry)

    def _only(self, true: dict[Any, Any], what: str) -> str | None:
        found = [key[1] for key in self.keys if key[0] == what and true[key]]
        assert len(found) <= 1, found
        return found[0] if found else None

    def _stay(self, true: dict[Any, Any], kind: str) -> float | None:
        value = self.answer.book.value
        hours = [
            value(live.rule.not_after).nominal_hours()  # type: ignore[union-attr]
            for live in self.answer.book.intervals_of("dressing")
            if true["stay", kind, live.rule.id] and live.rule.not_after
        ]
        return min(hours, default=None)

    def _times(self, true: dict[Any, Any], agent: str) -> tuple[int | None, int]:
        used, value = self.policy.agents[agent], self.answer.book.value
        dry = [value(used.dry).seconds]  # type: ignore[union-attr]
        scrub = []
        if used.seconds_per_swab:
            each = value(used.seconds_per_swab).seconds  # type: ignore[union-attr]
            scrub.append(each * value(used.swabs))
        for live in self.answer.book.site_rules:
            if true["site", agent, live.rule.id]:
                scrub.append(value(live.rule.scrub).seconds)  # type: ignore[union-attr]
                dry.append(value(live.rule.dry).seconds)  # type: ignore[union-attr]
        return max(scrub, default=None), max(dry)


SOME_AGE, SOME_MASS, SOME_GESTATION = 1_000_000, 12_000, 280
"""True values of what is not known: any that the model allows would do."""


def values(facts: Facts, spans: tuple[CalendarSpan, ...]) -> dict[str, Any]:
    """Return the values of the solver's variables for a child."""
    low, high = SOME_AGE, SOME_AGE
    if facts.born:
        high, low = (whole((facts.at - born) / MINUTE) for born in facts.born)
    gestation = facts.gestation or (SOME_GESTATION, SOME_GESTATION)
    found: dict[str, Any] = {
        "age_known": facts.born is not None,
        "age_low": low,
        "age_high": high,
        "age": high,
        "gestation_known": facts.gestation is not None,
        "gestation_low": gestation[0],
        "gestation_high": gestation[1],
        "gestation": gestation[0],
        "mass_known": facts.mass is not None,
        "mass": SOME_MASS if facts.mass is None else facts.mass,
        "lumens_known": -1 if facts.lumens is None else facts.lumens,
        "lumens": facts.lumens or 1,
    }
    for span in spans:
        name = f"{span.months}m{span.days}d"
        born = facts.born or (facts.at - SOME_AGE * MINUTE,) * 2
        first, last = (reached_at(b, span, facts.zone) for b in born)
        found[f"possibly_{name}"] = found[f"really_{name}"] = facts.at >= first
        found[f"surely_{name}"] = facts.at >= last
    for fact, allowed in CHOICES.items():
        word = getattr(facts, fact)
        found[f"{fact}_known"] = -1 if word is None else allowed.index(word)
        found[fact] = 0 if word is None else allowed.index(word)
    for fact, allowed in SETS.items():
        known = getattr(facts, fact)
        found[f"{fact}_known"] = known is not None
        found |= {f"{fact}_{word}": word in (known or ()) for word in allowed}
    return found


def whole(number: float) -> int:
    assert number == int(number)
    return int(number)


# ---------------------------------------------------------------- the tests


@pytest.mark.timeout(300)
@pytest.mark.parametrize("share", range(SHARES))
@pytest.mark.parametrize("name", SHIPPED)
def test_solver_enumerator_and_planner_agree(name: str, share: int) -> None:
    policy = load_policy(name)
    enumerator, solver = Enumerator(policy, DAY), Solver(policy)
    seen: Counter[tuple[str, str | None]] = Counter()

    for facts in grid(enumerator, share):
        tried = enumerator.answer(facts)
        assert planned(facts, policy) == tried, facts
        assert solver.answered(facts, enumerator.least_mass(facts)) == tried, facts
        seen[tried.verdict, tried.agent] += 1

    assert seen.total() >= LEAST_CASES[name] // SHARES * PART * 0.9
    assert {verdict for verdict, _ in seen} == {"plan", "ask", "stop"}
    assert {agent for _, agent in seen if agent} == set(policy.antiseptics)


def test_the_grids_hold_a_hundred_thousand_cases_together() -> None:
    assert sum(LEAST_CASES.values()) >= 100_000


@pytest.mark.timeout(60)
@pytest.mark.parametrize("turned", ["chg-gestation", "chg-mass"])
def test_one_sign_turned_in_one_rule_is_noticed(turned: str) -> None:
    policy = load_policy("quillmere")
    rules = tuple(
        replace(
            rule,
            when=tuple(
                tuple(
                    replace(c, test="at_most")
                    if c.test == "below" and c.fact != "age"
                    else c
                    for c in row
                )
                for row in rule.when
            ),
        )
        if rule.id == turned
        else rule
        for rule in policy.exclusions
    )
    wrong = replace(policy, exclusions=rules)
    enumerator, solver = Enumerator(policy, DAY), Solver(wrong)

    differ = [
        facts
        for facts in itertools.islice(grid(enumerator, 0), 4000)
        if solver.answered(facts, enumerator.least_mass(facts))
        != enumerator.answer(facts)
    ]

    assert differ


def test_formulas_read_back_say_what_they_said() -> None:
    age, weeks, mass = z3.Real("age"), z3.Int("weeks"), z3.Real("mass")
    read = as_function(
        [
            z3.And(age >= z3.Q(1, 2), weeks < 7),
            z3.Or(),
            z3.Implies(weeks == 3, mass > 1000),
            z3.If(weeks % 7 == 0, age, -age) + z3.ToReal(weeks) / 7,
            z3.Not(z3.Or(mass <= 1, weeks > 2)),
        ]
    )

    assert read({"age": Fraction(1, 2), "weeks": 3, "mass": 1000}) == [
        True,
        False,
        False,
        Fraction(-1, 2) + Fraction(3, 7),
        False,
    ]
