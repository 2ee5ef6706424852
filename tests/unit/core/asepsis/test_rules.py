"""Each rule of asepsis on both sides: a step that breaks it, and the same step that keeps it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from tests.asepsis_faults.orders import stage
from tests.unit.core.asepsis.test_verbs import maker, step

from lumenkeep.core.asepsis.rules import tests_for as checks_of
from lumenkeep.core.asepsis.state import OF_THE_ACTOR, STATE_WORDS, State, with_facts

if TYPE_CHECKING:
    from lumenkeep.core.asepsis.procedure import AsepsisRule

RULES = stage().bedside.rules
SETTINGS = {
    "circles-outward": {"agent": "povidone-iodine"},
    "disc-there": {"dressing": "transparent-chg-disc"},
    "plan-film": {"dressing": "transparent"},
    "no-gel-unplanned": {"dressing": "gauze"},
    "no-disc-unplanned": {"dressing": "gauze"},
    "plan-gel": {"dressing": "transparent-chg-gel"},
    "plan-gauze": {"dressing": "gauze"},
    "no-film-for-gauze": {"dressing": "gauze"},
}


def fitting_step(rule: AsepsisRule) -> Any:
    """Return a step that the rule speaks of."""
    on = rule.on
    verbs = [
        v for v in ("cover", "inspect", "scrub") if v not in on.get("not_verb", ())
    ]
    verb = on.get("verb", (verbs[0],))[0]
    takes = on.get("takes") == ("field",)
    opens = on.get("opens") == ("field",)
    short = on.get("short") == ("yes",) or on.get("lean") == ("yes",)
    about = "plan" if "site" in on.get("not_objects", ()) else "site"
    used = tuple((item, 1) for item in on.get("uses", ())[:1] if item != "nothing")
    return step(
        verb,
        on.get("actor", ("operator",))[0],
        objects=on.get("objects", (about,))[:1],
        touches=on.get("touches", ())[:1],
        manner=on.get("manner", ())[:1],
        uses=used or ((("clear-film", 1),) if takes else ()),
        opens=(("clear-film", 1),) if opens else (),
        seconds=None if short or verb not in ("scrub", "wait", "hand-hygiene") else "removal-press",
    )  # fmt: skip


def facts_of(row: Any, person: str, *, inside: bool) -> dict[str, str]:
    """Return facts that are in a row; or, of its first fact, a word that is not."""
    found = {}
    for fact, words in row:
        name = f"{person}_{fact}" if fact in OF_THE_ACTOR else fact
        found[name] = next(w for w in STATE_WORDS[name] if (w in words) is inside)
        if not inside:
            break
    return found


def checks_here(rule: AsepsisRule) -> Any:
    here = maker(**SETTINGS.get(rule.id, {}))
    act = here.act(fitting_step(rule))
    return [t for t in checks_of(act, (rule,)) if t.rule.id == rule.id]


def person_of(rule: AsepsisRule) -> str:
    actor = rule.on.get("actor", ("operator",))[0]
    return "assistant" if actor == "assistant" else "operator"


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_a_rule_is_broken_where_its_needs_are_not_met(rule: AsepsisRule) -> None:
    person = person_of(rule)
    facts: dict[str, str] = {}
    for row in rule.needs[:1]:
        facts |= facts_of(row, person, inside=False)
    if rule.given:
        facts |= facts_of(rule.given[0], person, inside=True)
    for row in rule.needs[1:]:
        name, value = next(iter(facts_of(row, person, inside=False).items()))
        facts.setdefault(name, value)
    tests = checks_here(rule)

    assert tests
    assert any(test.is_broken(with_facts(State(), facts)) for test in tests)


@pytest.mark.parametrize(
    "rule", [r for r in RULES if r.given or r.needs], ids=lambda rule: rule.id
)
def test_a_rule_is_kept_where_they_are_or_where_it_does_not_apply(
    rule: AsepsisRule,
) -> None:
    person = person_of(rule)
    facts: dict[str, str] = {}
    if rule.needs:
        for who in ("operator", "assistant"):
            facts |= facts_of(rule.needs[0], who, inside=True)
    else:
        for row in rule.given:
            facts |= facts_of(row, person, inside=False)
    tests = checks_here(rule)

    assert tests
    assert not any(test.is_broken(with_facts(State(), facts)) for test in tests)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_a_rule_leaves_other_steps_alone(rule: AsepsisRule) -> None:
    here = maker(**SETTINGS.get(rule.id, {}))
    other = here.act(step("say", "child", objects=("plan",)))

    assert checks_of(other, (rule,)) == ()


def test_every_rule_of_the_sheet_has_a_table() -> None:
    told = {rule.rule for rule in RULES}

    assert {f"R-A{n}" for n in range(1, 26)} <= told


def test_every_slip_of_the_catalogue_is_there() -> None:
    assert {slip.number for slip in stage().bedside.slips} == set(range(1, 39))
