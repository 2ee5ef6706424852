"""Each published limit that a shipped set claims is required of it, and proved.

The tables say, apart from the sets, which document gives which figure; the number
beside each is its line in our notes on the sources. For every requirement there is
one way to weaken what it watches over, and the proof must notice.
"""

from __future__ import annotations

import re
import shutil
from datetime import date
from typing import TYPE_CHECKING, Any

import pytest
from tests.external.core_limits import CORE_LIMITS
from tests.external.limit import MONTHS_2, NEWBORN, PUBLISHED, UK, US, WEEK, YEAR, Limit
from tests.policy.mutants.mutant import with_one_requirement

from lumenkeep.core.model import CalendarSpan, Elapsed
from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.files import SHIPPED_FOLDER
from lumenkeep.core.policy.solver import prove_part
from lumenkeep.errors import PolicyError

if TYPE_CHECKING:
    from pathlib import Path

    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.rules import Requirement

pytestmark = pytest.mark.external

DAY = date(2026, 3, 15)
FILMS = '["transparent", "transparent-chg-gel", "transparent-chg-disc"]'
LIMITS = {
    # --- any set
    "require-dry-site-scrub": Limit(
        base=PUBLISHED,
        fact="1.23",
        source="label-CHG",
        figures=(Elapsed(30), Elapsed(30)),
        tried_on=US,
        file="antiseptics.toml",
        find='dry = "chg-dry"',
        put='dry = { value = 29, unit = "s", from = 2024-01-01, source = "label-CHG" }',
    ),
    "require-moist-site-times": Limit(
        base=PUBLISHED,
        fact="1.24",
        source="label-CHG",
        figures=(Elapsed(120), Elapsed(60)),
        tried_on=UK,
        file="antiseptics.toml",
        find='scrub_at_least = "moist-scrub"',
        put='scrub_at_least = { value = 119, unit = "s", from = 2024-01-01, '
        'source = "label-CHG" }',
    ),
    "require-no-long-scrub-in-a-small-groin": Limit(
        base=PUBLISHED,
        fact="1.4, 1.18",
        source="FDA12",
        figures=(37 * 7, MONTHS_2, 1500),
        tried_on="quillmere",
        file="antisepsis.toml",
        find='scrub_at_least = "groin-small-scrub"',
        put='scrub_at_least = { value = 31, unit = "s", from = 2024-01-01, '
        'source = "label-CHG" }',
    ),
    "require-iodine-dry": Limit(
        base=PUBLISHED,
        fact="1.29",
        source="INS21",
        figures=(Elapsed(90),),
        tried_on=US,
        file="antiseptics.toml",
        find='dry = "pvi-dry"',
        put='dry = { value = 89, unit = "s", from = 2024-01-01, source = "INS21" }',
    ),
    "require-iodine-off-newborn": Limit(
        base=PUBLISHED,
        fact="1.11",
        source="INS24",
        figures=(NEWBORN,),
        tried_on="quillmere",
        file="antisepsis.toml",
        find='residue_removed_with = "sterile-saline"\n',
        put="",
    ),
    "require-no-chlorhexidine-if-allergic": Limit(
        base=PUBLISHED,
        fact="1.22",
        source="FDA-allergy-2017",
        figures=(),
        tried_on=US,
        file="antiseptics.toml",
        find='"transparent-chg-gel", "transparent-chg-disc", "chlorhexidine-bath"]',
        put='"transparent-chg-disc", "chlorhexidine-bath"]',
    ),
    "require-gauze-if-bleeding": Limit(
        base=PUBLISHED,
        fact="2.4",
        source="CDC11",
        figures=(),
        tried_on=US,
        file="dressings.toml",
        find='bars = ["transparent-chg-gel", "transparent-chg-disc", "transparent"]',
        put='bars = ["transparent-chg-gel", "transparent-chg-disc"]',
    ),
    "require-gauze-stay": Limit(
        base=PUBLISHED,
        fact="2.2, 2.5",
        source="CDC11",
        figures=(CalendarSpan(0, 2),),
        tried_on=US,
        file="numbers.toml",
        find='unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 2,',
        put='unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 3,',
    ),
    "require-film-stay": Limit(
        base=PUBLISHED,
        fact="2.1, 2.8",
        source="CDC11",
        figures=(CalendarSpan(0, 7),),
        tried_on=US,
        file="numbers.toml",
        find='means = "longest stay of a clear film"\nunit = "calendar-days"\n'
        "values = [{ from = 2024-01-01, value = 7,",
        put='means = "longest stay of a clear film"\nunit = "calendar-days"\n'
        "values = [{ from = 2024-01-01, value = 8,",
    ),
    # --- American
    "require-chlorhexidine-first": Limit(
        base=US,
        fact="1.1",
        source="CDC11",
        figures=(MONTHS_2,),
        file="set.toml",
        find='["chlorhexidine-alcohol", "povidone-iodine", "alcohol-70"]',
        put='["povidone-iodine", "chlorhexidine-alcohol", "alcohol-70"]',
    ),
    "require-no-answer-under-2-months": Limit(
        base=US,
        fact="1.3",
        source="CDC11",
        figures=(MONTHS_2,),
        file="antiseptics.toml",
        find='when = [{ age = { below = "cdc11-chlorhexidine-age" } }]',
        put='when = [{ age = { below = "newborn-until" } }]',
    ),
    "require-alcohol-as-last": Limit(
        base=US,
        fact="1.2",
        source="CDC11",
        figures=(MONTHS_2,),
        file="antiseptics.toml",
        find='bars = ["povidone-iodine"]',
        put='bars = ["alcohol-70"]',
    ),
    "require-pad-from-2-months": Limit(
        base=US,
        fact="2.13",
        source="SHEA22",
        figures=(YEAR,),
        file="set.toml",
        find='["transparent-chg-gel", "transparent", "gauze"]',
        put='["transparent", "transparent-chg-gel", "gauze"]',
    ),
    # --- British
    "require-water-when-early-and-new": Limit(
        base=UK,
        fact="1.12",
        source="NPPG",
        figures=(34 * 7, WEEK),
        file="published/limits.toml",
        find='value = "34w0d"',
        put='value = "33w6d"',
    ),
    "require-alcohol-from-34-weeks": Limit(
        base=UK,
        fact="1.13",
        source="NPPG",
        figures=(34 * 7, NEWBORN),
        file="published/limits.toml",
        find='value = "34w0d"',
        put='value = "34w1d"',
    ),
    "require-alcohol-from-7-days": Limit(
        base=UK,
        fact="1.13",
        source="NPPG",
        figures=(34 * 7, WEEK, NEWBORN),
        file="published/limits.toml",
        find='value = 168, source = "NPPG"',
        put='value = 169, source = "NPPG"',
    ),
    "require-no-iodine-when-small": Limit(
        base=UK,
        fact="1.14",
        source="BNF",
        figures=(32 * 7, NEWBORN, 1500, NEWBORN),
        file="antiseptics.toml",
        find='source = "NPPG"\nhow = "found"\nwhen = [{ sensitivities = { includes = '
        '["chlorhexidine"] }, age = { below = "first-birthday" } }]\n',
        put='source = "NPPG"\nhow = "found"\nwhen = [{ sensitivities = { includes = '
        '["latex"] }, age = { below = "first-birthday" } }]\n\n'
        '[number.bnf-mass]\nmeans = "moved"\nunit = "g"\n'
        'values = [{ from = 2024-01-01, value = 1499, source = "BNF" }]\n',
    ),
    "require-failed-dressing-at-once": Limit(
        base=PUBLISHED,
        fact="2.3",
        source="CDC11",
        figures=(),
        tried_on=US,
        file="intervals.toml",
        find='when = [{ findings = { includes = ["damp", "loose", "soiled"] } }]',
        put='when = [{ findings = { includes = ["damp", "loose"] } }]',
    ),
    "require-bleeding-site-at-once": Limit(
        base=PUBLISHED,
        fact="2.4",
        source="CDC11",
        figures=(),
        tried_on=UK,
        file="intervals.toml",
        find='for gauze at once."\nsource = "epic3"\nhow = "memory"\ntask = "dressing"',
        put='for gauze at once."\nsource = "epic3"\nhow = "memory"\ntask = "site-check"',
    ),
    "require-daily-review": Limit(
        base=PUBLISHED,
        fact="3.22",
        source="CDC11",
        figures=(CalendarSpan(0, 1),),
        tried_on=US,
        file="numbers.toml",
        find='values = [{ from = 2024-01-01, value = 1, source = "CDC11", how = "memory" }]',
        put='values = [{ from = 2024-01-01, value = 2, source = "CDC11", how = "memory" }]',
    ),
    "require-gauze-not-sooner": Limit(
        base=PUBLISHED,
        fact="2.2",
        source="CDC11",
        figures=(CalendarSpan(0, 2),),
        tried_on=US,
        file="numbers.toml",
        find='unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 2,',
        put='unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 1,',
    ),
    "require-two-people": Limit(
        base=PUBLISHED,
        fact="5.3, and common practice",
        source="skills-textbook",
        figures=(2,),
        tried_on=US,
        file="people.toml",
        find='staff = "people"',
        put='staff = { value = 1, unit = "count", from = 2024-01-01, '
        'source = "common-practice" }',
    ),
    "require-no-answer-on-broken-skin": Limit(
        base=UK,
        fact="no fact: no document names an agent",
        source="NPPG",
        figures=(),
        file="antiseptics.toml",
        find='bars = ["chlorhexidine-aqueous", "chlorhexidine-alcohol", '
        '"povidone-iodine", "transparent"]',
        put='bars = ["chlorhexidine-aqueous", "chlorhexidine-alcohol", "transparent"]',
    ),
    "require-no-answer-between-newborn-and-one-year": Limit(
        base=UK,
        fact="1.13 speaks of newborns, epic3 from one year",
        source="NPPG",
        figures=(NEWBORN, YEAR),
        file="antiseptics.toml",
        find='when = [{ age = { at_least = "newborn-until", below = "first-birthday" } }]',
        put='when = [{ age = { at_least = "cdc11-chlorhexidine-age", '
        'below = "first-birthday" } }]',
    ),
    "require-blood-set-in-half-a-day": Limit(
        base=UK,
        fact="3.5",
        source="epic3",
        figures=(Elapsed(12 * 3600),),
        file="numbers.toml",
        find='value = 12, source = "epic3"',
        put='value = 24, source = "epic3"',
    ),
    "require-broken-skin-referred": Limit(
        base=US,
        fact="no fact: no document names an agent",
        source="CDC11",
        figures=(),
        file="antiseptics.toml",
        find='"povidone-iodine", "alcohol-70", "transparent-chg-gel"',
        put='"alcohol-70", "transparent-chg-gel"',
    ),
    "require-no-pad-in-newborn-intensive-care": Limit(
        base=US,
        fact="2.14",
        source="SHEAN22",
        figures=(YEAR,),
        file="dressings.toml",
        find='when = [{ unit = { is = ["newborn-intensive-care"] }, '
        'age = { below = "first-birthday" } }]',
        put='when = [{ unit = { is = ["newborn-intensive-care"] }, '
        'age = { below = "cdc11-chlorhexidine-age" } }]',
    ),
    "require-no-clock-in-newborn-intensive-care": Limit(
        base=US,
        fact="2.8",
        source="SHEAN22",
        figures=(YEAR,),
        file="intervals.toml",
        find='task = "dressing"\npriority = 2\n',
        put='task = "dressing"\npriority = 2\nnot_after = "dressing-transparent"\n',
    ),
    "require-pad-from-2-months-elsewhere": Limit(
        base=US,
        fact="2.13",
        source="SHEA22",
        figures=(MONTHS_2,),
        file="dressings.toml",
        find='when = [{ age = { below = "shea22-dressing-age" } }]',
        put='when = [{ age = { below = "first-birthday" } }]',
    ),
    "require-plain-set-in-a-week": Limit(
        base=PUBLISHED,
        fact="3.1",
        source="CDC11",
        figures=(CalendarSpan(0, 7),),
        tried_on=UK,
        file="numbers.toml",
        find='value = 7, source = "CDC11", how = "found"',
        put='value = 8, source = "CDC11", how = "found"',
    ),
    "require-connectors-in-a-week": Limit(
        base=PUBLISHED,
        fact="3.10",
        source="CDC11",
        figures=(CalendarSpan(0, 7),),
        tried_on=UK,
        file="numbers.toml",
        find='value = 7, source = "CDC11", how = "memory"',
        put='value = 8, source = "CDC11", how = "memory"',
    ),
    "require-connectors-rest": Limit(
        base=PUBLISHED,
        fact="3.10",
        source="CDC11",
        figures=(Elapsed(72 * 3600), Elapsed(72 * 3600)),
        tried_on=UK,
        file="intervals.toml",
        find='not_before = "connector-not-before"',
        put='numbers = ["connector-not-before"]',
    ),
    "require-plain-set-rests": Limit(
        base=PUBLISHED,
        fact="3.1",
        source="CDC11",
        figures=(Elapsed(96 * 3600), Elapsed(96 * 3600)),
        tried_on=UK,
        file="intervals.toml",
        find='not_before = "set-not-before"',
        put='numbers = ["set-not-before"]',
    ),
    "require-medicine-set-in-a-day": Limit(
        base=PUBLISHED,
        fact="3.4",
        source="INS21",
        figures=(Elapsed(24 * 3600),),
        tried_on=UK,
        file="numbers.toml",
        find='value = 24, source = "INS21"',
        put='value = 25, source = "INS21"',
    ),
    "require-port-needle-stay": Limit(
        base=PUBLISHED,
        fact="3.21",
        source="INS21",
        figures=(CalendarSpan(0, 7),),
        tried_on=US,
        file="numbers.toml",
        find='value = 7, source = "INS21"',
        put='value = 8, source = "INS21"',
    ),
    "require-daily-look": Limit(
        base=PUBLISHED,
        fact="2.8",
        source="INS21",
        figures=(CalendarSpan(0, 1),),
        tried_on=US,
        file="numbers.toml",
        find='value = 1, source = "INS21"',
        put='value = 2, source = "INS21"',
    ),
    "require-lipid-and-blood-set-in-a-day": Limit(
        base=PUBLISHED,
        tried_on=US,
        fact="3.5, 3.6",
        source="CDC11",
        figures=(Elapsed(24 * 3600),),
        file="numbers.toml",
        find='means = "longest use of a lipid set, from its start"\nunit = "h"\n'
        "values = [{ from = 2024-01-01, value = 24",
        put='means = "longest use of a lipid set, from its start"\nunit = "h"\n'
        "values = [{ from = 2024-01-01, value = 25",
    ),
    "require-umbilical-venous-stay": Limit(
        base=PUBLISHED,
        tried_on=US,
        fact="3.23",
        source="CDC11",
        figures=(CalendarSpan(0, 14),),
        file="numbers.toml",
        find="value = 14,",
        put="value = 15,",
    ),
    "require-umbilical-arterial-stay": Limit(
        base=PUBLISHED,
        tried_on=US,
        fact="3.23",
        source="CDC11",
        figures=(CalendarSpan(0, 5),),
        file="numbers.toml",
        find='umbilical arterial line"\nunit = "calendar-days"\n'
        "values = [{ from = 2024-01-01, value = 5,",
        put='umbilical arterial line"\nunit = "calendar-days"\n'
        "values = [{ from = 2024-01-01, value = 6,",
    ),
}
LIMITS |= CORE_LIMITS
FLOORS = {
    "floor-chg-strength": ("1.1", "CDC11", 0.5, True),
    "floor-chg-swabs": ("1.23", "label-CHG", 3, False),
    "floor-chg-seconds-per-swab": ("1.23", "label-CHG", Elapsed(10), False),
    "floor-chg-dry": ("1.23", "label-CHG", Elapsed(30), False),
    "floor-moist-scrub": ("1.24", "label-CHG", Elapsed(120), False),
    "floor-moist-dry": ("1.24", "label-CHG", Elapsed(60), False),
    "floor-pvi-dry": ("1.29", "INS21", Elapsed(90), False),
    "floor-set-not-before": ("3.1", "CDC11", Elapsed(96 * 3600), False),
    "floor-connector-not-before": ("3.10", "CDC11", Elapsed(72 * 3600), False),
    "floor-hub-scrub": ("3.14", "SHEA22", Elapsed(5), False),
}
LEVEL = {
    "floor-chg-strength": (US, "numbers.toml", 'value = 2, source = "SHEAN22"', "0.5"),
    "floor-chg-swabs": (UK, "numbers.toml", 'value = 3, source = "label-CHG"', "2"),
    "floor-chg-seconds-per-swab": (
        UK,
        "numbers.toml",
        'value = 10, source = "label-CHG"',
        "9",
    ),
    "floor-chg-dry": (US, "numbers.toml", 'value = 30, source = "label-CHG"', "29"),
    "floor-moist-scrub": (
        UK,
        "numbers.toml",
        'value = 120, source = "label-CHG"',
        "119",
    ),
    "floor-moist-dry": (UK, "numbers.toml", 'value = 60, source = "label-CHG"', "59"),
    "floor-pvi-dry": (US, "numbers.toml", 'value = 90, source = "INS21"', "89"),
    "floor-set-not-before": (US, "numbers.toml", 'value = 96, source = "CDC11"', "95"),
    "floor-connector-not-before": (
        US,
        "numbers.toml",
        'value = 72, source = "CDC11"',
        "71",
    ),
    "floor-hub-scrub": (US, "numbers.toml", 'value = 5, source = "SHEA22"', "4"),
}


def required(policy: Policy) -> dict[str, Requirement]:
    return {rule.id: rule for rule in policy.requirements}


def figures(policy: Policy, rule: Requirement) -> tuple[Any, ...]:
    """Return every number of a requirement, as the tables above list them."""
    of_conditions = [c.number for row in rule.when for c in row if c.number]
    of_claim = [
        id_
        for id_ in (
            rule.strength_at_most,
            rule.scrub_at_least,
            rule.dry_at_least,
            rule.swabs_at_least,
            rule.staff_at_least,
            rule.stays_at_most,
            rule.stays_at_least,
            rule.rests_at_least,
        )
        if id_
    ]
    values = []
    for id_ in (*of_conditions, *of_claim):
        [only] = policy.numbers[id_].values
        values.append(only.value)
    return tuple(values)


def weakened(set_name: str, file: str, find: str, put: str, folder: Path) -> str:
    """Write a shipped set with one change; return its folder."""
    for name in (PUBLISHED, set_name):
        shutil.copytree(SHIPPED_FOLDER / name, folder / name)
    change(
        folder / set_name / "set.toml",
        'extends = "published"',
        'extends = "../published"',
    )
    change(folder / (file if "/" in file else f"{set_name}/{file}"), find, put)
    return str(folder / set_name)


def change(path: Path, find: str, put: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert text.count(find) == 1, f"{text.count(find)} times: {find}"
    # A sentence names the numbers of its rule; a rule that is changed may have others.
    changed = re.sub(r"\{[a-z][a-z0-9_.-]*\}", "so", text.replace(find, put))
    path.write_text(changed, encoding="utf-8")


def safe_part(policy: Policy) -> Any:
    return prove_part(policy, DAY, "safe")


@pytest.mark.parametrize("name", [PUBLISHED, US, UK])
def test_every_requirement_of_a_guideline_has_its_line_here(name: str) -> None:
    own = {
        rule.id
        for rule in load_policy(name).requirements
        if rule.where.startswith(f"{name}/") and rule.source != "plausibility"
    }

    assert own == {id_ for id_, limit in LIMITS.items() if limit.base == name}


@pytest.mark.parametrize("id_", LIMITS)
def test_a_requirement_has_the_figure_and_source_of_its_document(id_: str) -> None:
    limit = LIMITS[id_]
    policy = load_policy(limit.base)
    rule = required(policy)[id_]

    assert rule.source == limit.source
    assert figures(policy, rule) == limit.figures
    assert policy.sources[rule.source].title


@pytest.mark.timeout(30)
@pytest.mark.parametrize("name", [US, UK])
def test_a_guideline_set_keeps_to_all_that_is_required_of_it(name: str) -> None:
    assert safe_part(load_policy(name)).breaches == ()


@pytest.mark.timeout(30)
@pytest.mark.parametrize("id_", LIMITS)
def test_a_set_that_goes_against_a_requirement_is_not_proved(
    id_: str, tmp_path: Path
) -> None:
    limit = LIMITS[id_]
    tried_on = limit.tried_on or limit.base
    policy = load_policy(
        weakened(tried_on, limit.file, limit.find, limit.put, tmp_path)
    )

    part = safe_part(with_one_requirement(policy, id_))

    told = [b for b in part.breaches if id_ in {rule for rule, _ in b.rules}]
    assert told, part.breaches
    assert all(limit.source in b.says and b.shown_by for b in told)


def test_every_published_floor_has_its_line_here() -> None:
    policy = load_policy(PUBLISHED)
    found = {
        floor.id: (
            floor.source,
            policy.numbers[floor.at_least].values[-1].value,
            floor.strictly,
        )
        for floor in policy.floors
    }

    assert found == {id_: line[1:] for id_, line in FLOORS.items()}


@pytest.mark.parametrize("id_", FLOORS)
def test_a_set_below_a_published_floor_is_refused(id_: str, tmp_path: Path) -> None:
    set_name, file, find, low = LEVEL[id_]
    put = f"value = {low}," + find.split(",", 1)[1]

    with pytest.raises(PolicyError) as refused:
        load_policy(weakened(set_name, file, find, put, tmp_path))

    [fault] = refused.value.faults
    assert fault.code == "policy-below-floor"
    assert id_ in fault.mend
