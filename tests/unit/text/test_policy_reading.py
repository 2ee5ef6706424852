"""The reading of a policy: every rule once, every limit named, every source listed."""

from __future__ import annotations

from collections import Counter
from dataclasses import fields, replace
from datetime import date
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner

from lumenkeep.cli.main import main
from lumenkeep.core.entries import Task
from lumenkeep.core.policy import Policy, load_policy, shipped_sets
from lumenkeep.core.policy.numbers import DatedValue
from lumenkeep.core.policy.rules import Requirement, Rule
from lumenkeep.core.policy.texts import SetTexts
from lumenkeep.core.policy.vocabulary import OWN_TASKS, TASKS, tasks
from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.errors import NoRuleError
from lumenkeep.text.policy.parts import source_label
from lumenkeep.text.policy.plain_text import reading_in_words
from lumenkeep.text.policy.policy_reading import PolicyReading, read_policy
from lumenkeep.text.policy.procedures import WHO, when_in
from lumenkeep.text.policy.words import value_words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.text.policy.parts import Cite, StatementText

DAY = date(2026, 11, 25)
SETS = [*shipped_sets(), "published"]
FIRST_PART = """\
Quillmere Children's: changing a central line's dressing
Version 2026.1 (quillmere), digest {digest}
Loosened, of what this set is held to: require-no-iodine-on-the-smallest. For the
smallest, iodine is the house's only way when chlorhexidine is out; it is always taken
off again. (Common practice at the bedside)
Loosened, of what this set is held to: visual-phlebitis. Two ladders for one inflamed
vein give two grades: here everybody grades it by the other one. (Quillmere Children's,
reading of common practice where it is silent)
Said anew by quillmere, over published: antiseptic povidone-iodine (dry 90 seconds → 2
minutes; residue nothing → sterile-saline), supply supply-saline (count 1 → 2),
antiseptic chlorhexidine-alcohol (words).
As it stands on 25 November 2026
Where there is no answer, call the vascular access nurse on call.

The decision, step by step
--------------------------
1. Is chlorhexidine 2 % in alcohol barred?
   - sensitive to chlorhexidine
   - born before 28 weeks 0 days and younger than 2 calendar months
   - lighter than 1000 g
   - younger than 168 hours (7 days)
   - the skin at the site is broken
   - sensitive to alcohol
   One of these: Go to step 2.
   None of these: Chlorhexidine 2 % in alcohol: 3 swabs, 10 seconds each; dry at least
   30 seconds; when born at 37 weeks 0 days or later and weighing 1500 g or more, and
   the line enters at the groin (femoral); or when at least 2 calendar months old and
   weighing 1500 g or more, and the line enters at the groin (femoral): scrub at least 2
   minutes, dry at least 1 minute; when born before 37 weeks 0 days and younger than 2
   calendar months, and the line enters at the groin (femoral); or when lighter than
   1500 g, and the line enters at the groin (femoral): scrub at least 30 seconds, dry at
   least 1 minute. Then the dressing. Go to step 3.
2. Is povidone-iodine barred?
   - sensitive to iodine
   If so: No antiseptic is left: stop and call the vascular access nurse on call.
   If not: Povidone-iodine: 3 swabs; dry at least 2 minutes; when born at 37 weeks 0
   days or later and weighing 1500 g or more, and the line enters at the groin
   (femoral); or when at least 2 calendar months old and weighing 1500 g or more, and
   the line enters at the groin (femoral): scrub at least 2 minutes, dry at least 2
   minutes; when born before 37 weeks 0 days and younger than 2 calendar months, and the
   line enters at the groin (femoral); or when lighter than 1500 g, and the line enters
   at the groin (femoral): scrub at least 30 seconds, dry at least 2 minutes; then take
   it off with sterile saline. Then the dressing. Go to step 3.
3. Is clear film with chlorhexidine gel pad barred?
   - sensitive to adhesive
   - sensitive to gel or hydrogel
   - the dressing or its site is pus or other discharge (look when the site is bare)
   - the dressing or its site is skin white and sodden (look when the site is bare)
   - sensitive to chlorhexidine
   - born before 28 weeks 0 days and younger than 2 calendar months
   - lighter than 1000 g
   - younger than 168 hours (7 days)
   - the skin at the site is broken
   - born before 37 weeks 0 days and younger than 183 days
   - lighter than 1500 g
   - younger than 2 calendar months
   - the dressing or its site is bleeding or oozing (look when the site is bare)
   One of these: Go to step 4.
   None of these: Clear film with chlorhexidine gel pad: stays 7 days at most.
4. Is clear film barred?
   - sensitive to adhesive
   - the dressing or its site is pus or other discharge (look when the site is bare)
   - the dressing or its site is skin white and sodden (look when the site is bare)
   - the dressing or its site is bleeding or oozing (look when the site is bare)
   - the skin at the site is broken
   One of these: Gauze: stays 2 days at most.
   None of these: Clear film: stays 7 days at most.
Where a question cannot be answered, follow both ways. If they end at the same answer,
go on; if not, ask before the change, and use nothing that may be barred. For a
dressing, what is not known counts as so, except what only the bare site can show.

Which antiseptic for whom
-------------------------
The first that nothing bars is used. Where it is not known whether a rule holds, that is
asked before the change; nothing is used that may be barred.
The order in which they are tried:
- First: chlorhexidine 2 % in alcohol.
- Then: povidone-iodine.
Chlorhexidine 2 % in alcohol, clear film with chlorhexidine gel pad, clear film over a
chlorhexidine disc and chlorhexidine bath:
- Not when sensitive to chlorhexidine. Allergic to chlorhexidine: no scrub, no dressing
  and no bath with it. [Common practice at the bedside (1)]
    rule chg-allergy
- Not when born before 28 weeks 0 days and younger than 2 calendar months. [Common
  practice at the bedside (1); 2 calendar months: Quillmere Children's 2026 (2), common
  practice]
    rule chg-gestation
- Not when lighter than 1000 g. [Common practice at the bedside (1)]
    rule chg-mass
- Not when younger than 168 hours (7 days). [Common practice at the bedside (1)]
    rule chg-age
"""


def reading(name: str) -> PolicyReading:
    return read_policy(load_policy(name), DAY)


def statements(of: PolicyReading) -> Iterator[StatementText]:
    for section in of.sections:
        for part in section.parts:
            yield from part.statements


def every_cite(of: PolicyReading) -> Iterator[Cite]:
    for one in statements(of):
        yield from one.cites
        for detail in one.details:
            yield from detail.cites
    for dispute in of.disputes:
        yield from dispute.cites
        yield from (said.cite for said in dispute.said)
    for number in of.numbers:
        yield from (value.cite for value in number.values)


def later(policy: Policy, number: str, start: date, value: float) -> Policy:
    """The policy with a number that changes on a later day."""
    old = policy.numbers[number]
    coming = DatedValue(start, value, str(value), "BNF", "found")
    numbers = {**policy.numbers, number: replace(old, values=(*old.values, coming))}
    return replace(policy, numbers=numbers)


@pytest.mark.parametrize("name", SETS)
def test_every_rule_is_told_once(name: str) -> None:
    found = reading(name)
    told = Counter(one.rule for one in statements(found) if one.rule)
    told.update(dispute.rule for dispute in found.disputes)

    assert told == Counter(rule.id for rule in load_policy(name).every_rule())


@pytest.mark.parametrize("name", SETS)
def test_every_exclusion_names_each_of_its_limits(name: str) -> None:
    policy = load_policy(name)
    book = policy.on(DAY)
    text = {one.rule: one.text for one in statements(reading(name))}

    for live in book.exclusions:
        assert text[live.rule.id].startswith("Not when ")
        for row in live.when.rows:
            for c in row:
                if c.number:
                    unit = policy.numbers[c.number].unit
                    limit = value_words(book.value(c.number), unit)
                    assert limit in text[live.rule.id]


@pytest.mark.parametrize("name", SETS)
def test_every_source_cited_is_listed_at_its_place_and_no_other(name: str) -> None:
    found = reading(name)
    listed = {source.place: source.id for source in found.sources}

    assert list(listed) == list(range(1, len(listed) + 1))
    assert {(c.place, c.source) for c in every_cite(found)} == set(listed.items())


@pytest.mark.parametrize("name", SETS)
def test_every_rule_cites_its_source_and_every_number_told_its_own(name: str) -> None:
    policy = load_policy(name)
    rules = {rule.id: rule for rule in policy.every_rule()}
    for one in statements(reading(name)):
        if not one.rule:
            continue
        assert one.cites[0].source == rules[one.rule].source
        cited = {c.source for c in one.cites}
        cited |= {c.source for detail in one.details for c in detail.cites}
        for row in rules[one.rule].when:
            for c in row:
                if c.number:
                    value = policy.numbers[c.number].on(DAY)
                    assert value
                    assert value.source in cited


@pytest.mark.parametrize("name", SETS)
def test_every_number_is_listed_with_all_its_values(name: str) -> None:
    numbers = load_policy(name).numbers

    assert {row.id: len(row.values) for row in reading(name).numbers} == {
        id_: len(number.values) for id_, number in numbers.items()
    }


@pytest.mark.parametrize("name", SETS)
def test_nothing_is_left_empty_or_without_an_end(name: str) -> None:
    for one in statements(reading(name)):
        assert one.text.endswith("."), one.text
        assert one.text[:1] == one.text[:1].upper(), one.text
        assert "  " not in one.text
        assert ".." not in one.text
        assert ": ." not in one.text
        assert all(detail.text for detail in one.details)


def test_the_first_part_of_the_demo_hospitals_policy() -> None:
    policy = load_policy("quillmere")

    assert reading_in_words(read_policy(policy, DAY)).startswith(
        FIRST_PART.format(digest=policy.digest)
    )


def test_a_coming_value_is_told_with_the_rule_and_in_the_numbers() -> None:
    policy = later(load_policy("quillmere"), "chg-mass", date(2027, 3, 1), 1250)

    found = read_policy(policy, DAY)

    rule = next(one for one in statements(found) if one.rule == "chg-mass")
    coming = rule.details[-1]
    assert coming.label == "From 1 March 2027"
    assert coming.text == "1250 g instead of 1000 g."
    assert coming.cites[0].source == "BNF"
    row = next(row for row in found.numbers if row.id == "chg-mass")
    assert [(v.words, v.since, v.state) for v in row.values] == [
        ("1000 g", "1 January 2024", "is"),
        ("1250 g", "1 March 2027", "will be"),
    ]


def test_on_a_later_day_the_later_value_is_in_force() -> None:
    policy = later(load_policy("quillmere"), "chg-mass", date(2027, 3, 1), 1250)

    found = read_policy(policy, date(2027, 3, 1))

    rule = next(one for one in statements(found) if one.rule == "chg-mass")
    assert rule.text == "Not when lighter than 1250 g."
    assert [detail.label for detail in rule.details] == []
    row = next(row for row in found.numbers if row.id == "chg-mass")
    assert [value.state for value in row.values] == ["was", "is"]
    assert "lighter than 1250 g" in reading_in_words(found)


def test_a_day_before_the_policy_says_so() -> None:
    with pytest.raises(NoRuleError, match="policy-number-not-in-force"):
        read_policy(load_policy("quillmere"), date(2020, 1, 1))


def test_a_look_and_an_end_are_told_with_the_exclusion() -> None:
    rule = next(
        s for s in statements(reading("quillmere")) if s.rule == "film-bleeding"
    )

    assert [(d.label, d.text) for d in rule.details] == [
        ("Ends", "When the site is charted as dry."),
        ("Not known", "Look when the old dressing is off, with the next one ready."),
    ]


def test_a_referral_says_whom_to_call() -> None:
    rule = next(
        s for s in statements(reading("us-guideline")) if s.rule == "under-2-months"
    )

    assert rule.text == "When younger than 2 calendar months: stop and call."
    assert rule.details[0].text == (
        "The neonatologist in charge, or the vascular access specialist."
    )


@pytest.mark.parametrize(
    ("rule", "text"),
    [
        (
            "moist-site",
            (
                "When born at 37 weeks 0 days or later and weighing 1500 g or more, and "
                "the line enters at the groin (femoral); or when at least 2 calendar "
                "months old and weighing 1500 g or more, and the line enters at the groin "
                "(femoral): scrub at least 2 minutes, dry at least 1 minute, whatever the "
                "antiseptic."
            ),
        ),
        ("connector-window", "Not before 96 hours (4 days) and after 7 days at most."),
        ("set-lipid-stays", "When the set carries lipid: after 24 hours at most."),
        (
            "dressing-fails",
            "Dressing: at once when the dressing or its site is damp, loose or soiled.",
        ),
        ("two-people", "Two people; everyone within 0.9 m wears a mask."),
        (
            "supply-saline",
            (
                "2 × sterile saline swabs, when the antiseptic is povidone-iodine or "
                "chlorhexidine in water."
            ),
        ),
        (
            "kit-sterile-gloves-operator",
            "1 × sterile gloves for the operator, pairs, size 7.",
        ),
        (
            "chart-stitches",
            (
                "Number of stitches, 0 if it is held without: must be charted when the "
                "line is not an implanted port."
            ),
        ),
        (
            "require-iodine-two-minutes",
            (
                "When the antiseptic is povidone-iodine: it dries for at least 2 minutes "
                "and the swabs are at least 3."
            ),
        ),
        (
            "require-gauze-stay",
            (
                "When the dressing is gauze or gauze under a clear film and the line is "
                "not an implanted port, an umbilical venous line or an umbilical "
                "arterial line; or when the dressing is gauze or gauze under a clear "
                "film, the line is an implanted port and a needle is in the port: the "
                "dressing is due after 2 days at most."
            ),
        ),
        (
            "port-at-rest-dressing",
            (
                "When the line is an implanted port and no needle is in the port: "
                "nothing is due."
            ),
        ),
        ("external-length-mm", "External length: 0 mm to 600 mm."),
        (
            "floor-chg-strength",
            "Chlorhexidine in the alcoholic product: more than 0.5 %; here 2 %.",
        ),
        (
            "mass-after-first-birthday",
            (
                "When at least 1 year old: a mass below 2000 g is not believed of a child "
                "whose mass nobody charted."
            ),
        ),
    ],
)
def test_a_rule_of_each_kind_reads(rule: str, text: str) -> None:
    found = next(s for s in statements(reading("quillmere")) if s.rule == rule)

    assert found.text == text


def test_every_claim_of_a_requirement_is_told() -> None:
    policy = load_policy("quillmere")
    blank = {
        field.name: type(getattr(policy.requirements[0], field.name))()
        for field in fields(Requirement)
        if isinstance(getattr(policy.requirements[0], field.name), bool | tuple)
    }
    claims = {
        "agent": ("povidone-iodine",),
        "not_agent": ("povidone-iodine",),
        "dressing": ("gauze",),
        "not_dressing": ("gauze",),
        "not_holding": ("alcohol",),
        "barred": ("chlorhexidine-bath",),
        "verdict": ("stop",),
        "residue_removed": True,
        "strength_at_most": "chg-alcohol-strength",
        "scrub_at_least": "chg-dry",
        "scrub_at_most": "chg-dry",
        "dry_at_least": "chg-dry",
        "swabs_at_least": "chg-swabs",
        "staff_at_least": "chg-swabs",
        "at_once": True,
        "not_at_once": True,
        "no_clock": True,
        "nothing_due": True,
        "stays_at_most": "set-lipid",
        "stays_at_least": "set-lipid",
        "rests_at_least": "set-lipid",
        "film_at_most": "chg-area-high",
        "weighing_at_most": "set-lipid",
    }
    beside = {field.name for field in fields(Rule)} | {"if_charted", "task"}
    known = {field.name for field in fields(Requirement)} - beside
    assert known <= set(claims)
    claims = {name: claim for name, claim in claims.items() if name in known}
    texts = set()
    for name, claim in claims.items():
        none = {key: None for key in claims if key not in blank}
        one = replace(
            policy.requirements[0], **{**blank, **none, "when": (), name: claim}
        )
        found = read_policy(replace(policy, requirements=(one,)), DAY)
        texts |= {s.text for s in statements(found) if s.rule == one.id}

    assert len(texts) == len(claims)
    assert all(len(text) > len(".") for text in texts)


def test_every_task_has_its_phrase() -> None:
    assert list(tasks()) == list(TASKS)
    assert set(OWN_TASKS) <= set(TASKS)
    assert all(task.due for task in tasks().values())


def test_a_task_without_a_phrase_is_due_by_its_name() -> None:
    assert Task("flush", "Flush", "line.flushed").due_phrase == "flush is due"


def test_a_source_is_called_by_who_says_it_and_when() -> None:
    sources = load_policy("quillmere").sources

    assert source_label(sources["CDC11"]) == "CDC, HICPAC 2011"
    assert source_label(sources["common-practice"]) == "Common practice at the bedside"
    assert source_label(sources["quillmere-reading"]) == "Quillmere Children's 2026"


def test_what_is_from_memory_is_to_be_confirmed() -> None:
    text = reading_in_words(reading("us-guideline"))

    assert "CDC, HICPAC 2011 (1), from memory, to be confirmed" in text
    assert "to be confirmed against the edition in force" in text.replace("\n   ", " ")


def test_the_command_prints_the_reading_of_a_day() -> None:
    result = CliRunner().invoke(
        main, ["policy", "read", "quillmere", "--day", "2026-11-25"]
    )

    assert result.exit_code == 0
    assert result.stdout.rstrip() == reading_in_words(reading("quillmere")).rstrip()


def test_the_command_says_when_there_was_no_policy_yet() -> None:
    result = CliRunner().invoke(
        main, ["policy", "read", "quillmere", "--day", "2020-01-01"]
    )

    assert result.exit_code == 2
    assert "policy-number-not-in-force" in result.stderr


def procedures(name: str) -> dict[str, list[StatementText]]:
    return {
        section.key.removeprefix("procedure-"): [
            one for part in section.parts for one in part.statements
        ]
        for section in reading(name).sections
        if section.key.startswith("procedure-")
    }


def details(one: StatementText) -> dict[str, str]:
    return {detail.label: detail.text for detail in one.details}


@pytest.mark.parametrize("name", SETS)
def test_every_step_of_every_procedure_is_told_in_order(name: str) -> None:
    bedside = bedside_of(load_policy(name))
    told = procedures(name)

    assert set(told) == set(bedside.procedures)
    for id_, statements_ in told.items():
        steps = [
            step
            for step in bedside.procedures[id_].steps
            if when_in(step.when, {id_}) is not None
        ]
        assert [one.text for one in statements_] == [
            f"{step.id}. {WHO[step.actor]}: {step.says}" for step in steps
        ]
        assert all(
            one.cites[0].source == step.source
            for one, step in zip(statements_, steps, strict=True)
        )


def test_the_dressing_change_is_read_first() -> None:
    assert next(iter(procedures("quillmere"))) == "dressing-change"


def test_a_step_tells_its_time_with_its_source_and_what_it_uses() -> None:
    steps = {
        one.text.partition(".")[0]: one
        for one in procedures("quillmere")["port-needle-change"]
    }
    waiting, cream = steps["I0w"], steps["I0"]

    [time] = [detail for detail in waiting.details if detail.label == "Time"]
    assert time.text == "At least 1 hour."
    assert [cite.source for cite in time.cites] == ["numbing-review"]
    assert (
        details(cream)["Uses"]
        == "1 × numbing cream, one meant for this age and 1 × plaster."
    )


def test_a_step_of_a_branch_says_for_whom_it_is() -> None:
    only = {
        (one.text.partition(".")[0], details(one).get("Only"))
        for one in procedures("quillmere")["dressing-change"]
    }

    assert ("NEO13", "In newborn intensive care.") in only
    assert (
        "D13",
        "Where the antiseptic is rubbed in back and forth and where the line enters at the groin (femoral).",
    ) in only
    assert ("PR12c", "With a child old enough for a mask.") in only
    assert ("PR8", None) in only


def test_a_step_of_another_procedure_is_not_told() -> None:
    steps = [one.text for one in procedures("quillmere")["set-change"]]

    assert not any(text.startswith("PR10.") for text in steps)


def test_steps_that_are_repeated_say_so() -> None:
    [connector] = [
        s
        for s in reading("quillmere").sections
        if s.key == "procedure-connector-change"
    ]

    assert connector.lead.endswith(
        "Steps N4 to N15 are done once for each lumen, one after the other."
    )


def test_faulty_procedures_hide_no_rule() -> None:
    policy = load_policy("quillmere")
    broken = SetTexts("quillmere", (("procedures/x.toml", "nothing ="),))

    found = read_policy(replace(policy, procedures=(broken,)), DAY)

    assert found.sections[-1].key == "procedure"
    assert "lumenkeep rehearse" in found.sections[-1].parts[0].statements[0].text
    assert len(found.sections) > 1
