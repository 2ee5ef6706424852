"""Two sets laid side by side: each kind of statement, changed by hand, is told.

Every row is something that a nurse or a child would meet.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from tests.fakes.changed_set import changed, with_more

from lumenkeep.core.comparing.changes import changes_between
from lumenkeep.core.comparing.kinds import KIND_WORDS
from lumenkeep.core.policy import load_policy
from lumenkeep.core.rehearsal.procedure_files import bedside_written
from lumenkeep.text.policy.statements import SetSides, change_in_words

if TYPE_CHECKING:
    from lumenkeep.core.policy import Policy
    from lumenkeep.text.policy.statements import ChangeInWords

DAY = date(2026, 11, 30)
QUILLMERE = load_policy("quillmere")
REMOVAL = "published/procedures/line-removal.toml"
CHANGE = "published/procedures/dressing-change.toml"
REMOVAL_STEP = """[[step]]
id = "R2"
actor = "both"
verb = "position"
objects = ["child"]
touches = ["child"]
says = "Flat, head down as far as the child bears it and the prescriber allows. Never sitting."
charted = ["tilt"]
because = "Air is drawn in."
source = "removal-2012"
how = "found"
when = [{ site = { is = ["internal-jugular", "subclavian", "chest"] } }]
"""

WRITTEN_OTHERWISE = [
    # ------------------------------------------------ the examples of the report
    (
        "an umbilical arterial line stays ten days",
        ("quillmere/dressing.toml", "value = 5, source", "value = 10, source"),
        ("number", "uac-stay", "value: 5 days → 10 days"),
    ),
    (
        "a film stays five days from 2028",
        (
            "quillmere/dressing.toml",
            '[{ from = 2024-01-01, value = 7, source = "common-practice" }]',
            ('[{ from = 2024-01-01, value = 7, source = "common-practice" }, '
            '{ from = 2028-01-01, value = 5, source = "common-practice" }]'),
        ),
        (
            "number",
            "dressing-transparent",
            "from 2028-01-01: value: 7 days → 5 days",
        ),
    ),
    (
        "no saline swab is laid out",
        (
            "quillmere/kit.toml",
            "count = { value = 2, unit = \"count\", from = 2024-01-01, source = \"common-practice\" }\nwhen",
            "count = { value = 0, unit = \"count\", from = 2024-01-01, source = \"common-practice\" }\nwhen",
        ),
        ("supply", "supply-saline", "count: 2 → 0"),
    ),
    (
        "chlorhexidine is twenty percent",
        (
            "quillmere/antisepsis.toml",
            'value = 2, source = "label-CHG"',
            'value = 20, source = "label-CHG"',
        ),
        ("number", "chg-alcohol-strength", "value: 2 % → 20 %"),
    ),
    (
        "iodine is rubbed back and forth",
        ("quillmere/antisepsis.toml", '"outward-circles"', '"back-and-forth"'),
        ("agent", "povidone-iodine", "motion: outward-circles → back-and-forth"),
    ),
    (
        "a step of the removal is deleted",
        (REMOVAL, REMOVAL_STEP, ""),
        ("step", "line-removal/R2", "“Flat, head down as far as the child bears it"),
    ),
    (
        "an unknown mass is no longer asked for",
        (
            "quillmere/antisepsis.toml",
            "when = [{ mass = { below = \"chg-mass\" } }]",
            "when = [{ age = { below = \"chg-age\" } }]",
        ),
        ("exclude", "chg-mass", "when: mass below 1000 g → age below 168 hours (7 days)"),
    ),
    # ------------------------------------------------ others
    (
        "a film may stay on a site that bleeds without a look",
        (
            "quillmere/dressing.toml",
            'if_unknown = "look"',
            'if_unknown = "ask"',
        ),
        ("exclude", "film-bleeding", "if unknown: look → ask"),
    ),
    (
        "gauze is tried before film",
        (
            "quillmere/set.toml",
            '  "transparent",\n  "gauze",',
            '  "gauze",\n  "transparent",',
        ),
        (
            "set",
            "set",
            ("dressings: transparent-chg-gel, transparent, gauze → "
            "transparent-chg-gel, gauze, transparent"),
        ),
    ),
    (
        "somebody else is called",
        (
            "quillmere/set.toml",
            "the vascular access nurse on call",
            "the duty doctor",
        ),
        ("set", "set", "call: “the vascular access nurse on call” → “the duty doctor”"),
    ),
    (
        "a newborn's doctor is not called",
        (
            "quillmere/people.toml",
            "the vascular access nurse and the neonatologist on call",
            "the vascular access nurse",
        ),
        ("call", "call-for-a-newborn", "→ “the vascular access nurse”"),
    ),
    (
        "one person changes the dressing alone",
        ("quillmere/people.toml", "value = 2, source", "value = 1, source"),
        ("number", "staff", "value: 2 → 1"),
    ),
    (
        "masks within thirty centimetres",
        ("quillmere/people.toml", "value = 0.9", "value = 0.3"),
        ("number", "mask-radius", "value: 0.9 m → 0.3 m"),
    ),
    (
        "the operator wears clean gloves throughout",
        ("quillmere/people.toml", "clean for the old dressing, then sterile", "clean"),
        (
            "staffing",
            "two-people",
            "roles, operator: gloves: “clean for the old dressing, then sterile” → clean",
        ),
    ),
    (
        "a port needle stays a fortnight",
        (
            "quillmere/dressing.toml",
            'value = 7, source = "INS21", how = "memory"',
            'value = 14, source = "INS21", how = "memory"',
        ),
        ("number", "port-needle", "value: 7 days → 14 days"),
    ),
    (
        "lipid sets of a line at rest hang on",
        (
            "quillmere/dressing.toml",
            '{ set_kind = { is = ["lipid"] } }',
            '{ set_kind = { is = ["lipid"] }, in_use = { is = ["yes"] } }',
        ),
        ("interval", "set-lipid-stays", "and line in use is yes"),
    ),
    (
        "a loose dressing waits",
        (
            "quillmere/dressing.toml",
            'includes = ["damp", "loose", "soiled"]',
            'includes = ["damp", "soiled"]',
        ),
        ("at_once", "dressing-fails", "damp, loose or soiled → "),
    ),
    (
        "the groin dries half as long",
        (
            "quillmere/antisepsis.toml",
            'dry_at_least = "moist-dry"',
            'dry_at_least = "chg-dry"',
        ),
        ("site_rule", "moist-site", "dry: 1 minute (moist-dry) → 30 seconds (chg-dry)"),
    ),
    (
        "a caution speaks of fewer babies",
        (
            "quillmere/antisepsis.toml",
            'value = "32w0d", unit',
            'value = "30w0d", unit',
        ),
        (
            "note",
            "pvi-repeated",
            "when gestation_at_birth below: 32 weeks 0 days → 30 weeks 0 days".replace(
                "_", " "
            ),
        ),
    ),
    (
        "a weighing counts a week",
        (
            "published/child.toml",
            "unit = \"calendar-days\"\nvalues = [{ from = 2024-01-01, value = 3,",
            "unit = \"calendar-days\"\nvalues = [{ from = 2024-01-01, value = 7,",
        ),
        ("number", "weighing-newborn", "value: 3 days → 7 days"),
    ),
    (
        "nobody measures the line",
        (
            "published/chart.toml",
            "high = \"external-length-mm.high\"\nrequired = true",
            "high = \"external-length-mm.high\"\nrequired = false",
        ),
        ("chart", "chart-external-length", "required: yes → no"),
    ),
    (
        "a port that swells waits for the next shift",
        (
            "published/watch.toml",
            'who = "charge-nurse"\nact_within = "act-at-once"\nsettle_within = "settle-same-shift"\nthen = "educator"\n\n[[concern]]\nid = "line-not-patent"',
            'who = "charge-nurse"\nact_within = "act-same-shift"\nsettle_within = "settle-same-shift"\nthen = "educator"\n\n[[concern]]\nid = "line-not-patent"',
        ),
        ("concern", "port-trouble", "act within: "),
    ),
    (
        "a measured length is said to be truer than it is",
        ("published/watch.toml", "value = 2, source", "value = 1, source"),
        ("number", "length-error", "value: 2 mm → 1 mm"),
    ),
    (
        "a round is happy with a wider answer",
        ("published/rounds.toml", "value = 10, source", "value = 20, source"),
        ("number", "round-half-width", "value: 10 % → 20 %"),
    ),
    (
        "a requirement asks a shorter scrub",
        (
            "published/requirements.toml",
            "scrub_at_least = { value = 30",
            "scrub_at_least = { value = 15",
        ),
        (
            "require",
            "require-dry-site-scrub",
            "scrub at least: 30 seconds → 15 seconds",
        ),
    ),
    (
        "a floor is lowered",
        (
            "published/floors.toml",
            "at_least = { value = 0.5",
            "at_least = { value = 0.1",
        ),
        ("floor", "floor-chg-strength", "at least: 0.5 % → 0.1 %"),
    ),
    (
        "the ready kit holds one pair of gloves",
        (
            "quillmere/kit.toml",
            "item = \"clean-gloves\"\ncount = { value = 2",
            "item = \"clean-gloves\"\ncount = { value = 1",
        ),
        ("kit", "kit-clean-gloves", "count: 2 → 1"),
    ),
    (
        "hands are cleaned after the next step",
        (
            "published/procedures/closing.toml",
            'seconds = "hand-rub"\n',
            "",
        ),
        ("step", "CL3", "seconds: "),
    ),
    (
        "the child sits while the line is pulled",
        (REMOVAL, "Flat, with the exit point below the heart. Never sitting.", "Sitting."),
        ("step", "line-removal/R2", "→ Sitting."),
    ),
    (
        "a removal begins with the pump stopped",
        (REMOVAL, 'pump = "running"', 'pump = "stopped"'),
        ("procedure", "line-removal", "starts: "),
    ),
    (
        "a removal in the groin is not shown",
        (
            REMOVAL,
            'site = ["internal-jugular", "femoral"]',
            'site = ["internal-jugular"]',
        ),
        ("procedure", "line-removal", "vary: "),
    ),
    (
        "a sterile glove may touch the old dressing",
        (
            "published/procedures/asepsis.toml",
            '"outer-pack", "old-dressing", ',
            '"outer-pack", ',
        ),
        ("rule", "sterile-touches-unsterile", "on: "),
    ),
    (
        "a torn glove keeps the skin clean",
        (
            "published/procedures/slips.toml",
            "spoils = [{ given = [{ site = [\"wet\", \"rinsed\", \"waited\", \"dry\"] }], sets = { site = \"bared\" } }, { sets",
            "spoils = [{ sets",
        ),
        ("slip", "glove-tears", "which effects: "),
    ),
    (
        "whoever slips says nothing aloud",
        (
            "published/procedures/moves.toml",
            "Say aloud what happened; both stop.",
            "Both stop.",
        ),
        ("move", "say", "→ “Both stop.”"),
    ),
    (
        "no second pair of gloves lies in the room",
        (
            "published/procedures/room.toml",
            '  { item = "sterile-gloves", count = 1, because = "A second pair of the operator\'s size is laid out.", source = "port-access-children" },\n',
            "",
        ),
        ("spare", "sterile-gloves", "A second pair of the operator's size"),
    ),
    (
        "swabs lie in the hand and not on the field",
        (
            "published/procedures/items.toml",
            'label = "Sterile drape", place = "field"',
            'label = "Sterile drape", place = "hand"',
        ),
        ("item", "sterile-drape", "place: field → hand"),
    ),
    (
        "a document says something else",
        (
            "published/disagreements.toml",
            "No recommendation for babies under 2 months.",
            "No recommendation at any age.",
        ),
        ("disagreement", "C1", "→ “No recommendation at any age.”"),
    ),
    (
        "a source is another edition",
        ("published/watch.toml", "year = 2012", "year = 2013"),
        ("source", "MSPR2012", "year: 2012 → 2013"),
    ),
]  # fmt: skip


def told(one: Policy, two: Policy) -> list[tuple[str, ChangeInWords]]:
    sides = SetSides(bedside_written(one).numbers, bedside_written(two).numbers, DAY)
    return [
        (change.kind, change_in_words(change, sides))
        for change in changes_between(one, two, DAY)
    ]


@pytest.mark.parametrize(
    ("edit", "wanted"),
    [pytest.param(edit, wanted, id=name) for name, edit, wanted in WRITTEN_OTHERWISE],
)
def test_what_is_written_otherwise_is_told_and_nothing_else(
    edit: tuple[str, str, str], wanted: tuple[str, str, str]
) -> None:
    kind, id_, says = wanted

    found = [one for one in told(QUILLMERE, changed(*edit)) if one[0] != "question"]

    assert {one for one, _ in found} == {kind}
    ids = {id_ for _, one in found for id_ in (one.id, *one.also)}
    assert all(one == id_ or one.endswith(f"/{id_}") for one in ids)
    lines = [line for _, one in found for line in one.says]
    assert any(says in line for line in lines), lines


@pytest.mark.parametrize("name", ["quillmere", "uk-guideline", "us-guideline"])
def test_a_set_laid_beside_itself_shows_nothing(name: str) -> None:
    assert changes_between(load_policy(name), load_policy(name), DAY) == ()


def test_a_step_that_is_moved_is_told_with_its_old_and_new_place() -> None:
    text = {
        name: text for layer in QUILLMERE.procedures for name, text in layer.procedures
    }["procedures/line-removal.toml"]
    blocks = text.split("[[step]]")
    last = next(n for n, block in enumerate(blocks) if 'id = "R8"' in block)
    order = [*blocks]
    order[last - 1], order[last] = order[last], order[last - 1]

    found = told(QUILLMERE, changed(REMOVAL, text, "[[step]]".join(order)))

    [(kind, one)] = found
    assert (kind, one.change) == ("step", "moved")
    assert one.says[0].startswith("stands elsewhere: after ")


def test_a_step_of_a_shared_part_is_told_once_for_all_procedures() -> None:
    edit = changed("published/procedures/closing.toml", "Masks off.", "Masks stay on.")

    [(_, one)] = told(QUILLMERE, edit)

    assert "line-removal/CL4" in (one.id, *one.also)
    assert len(one.also) >= 3


def test_a_rule_that_only_one_set_has_is_told_with_what_it_says() -> None:
    more = with_more(
        "quillmere/antisepsis.toml",
        """
[[exclude]]
id = "no-iodine-early"
because = "Born before {gestation_at_birth.below}: no iodine."
source = "common-practice"
bars = ["povidone-iodine"]
when = [{ gestation_at_birth = { below = { value = "30w0d", unit = "weeks+days", from = 2024-01-01, source = "common-practice" } } }]
""",
    )

    one = dict(told(QUILLMERE, more))["exclude"]

    assert (one.id, one.change) == ("no-iodine-early", "added")
    assert one.says[0] == "“Born before 30 weeks: no iodine.”"
    assert "when: gestation at birth below 30 weeks 0 days" in one.says
    assert one.where_one == ""
    assert one.where_two.startswith("quillmere/antisepsis.toml: exclude[")


def test_a_difference_that_ends_says_until_when() -> None:
    ends = changed(
        "quillmere/dressing.toml",
        '[{ from = 2024-01-01, value = 5, source = "CDC11" }]',
        '[{ from = 2024-01-01, value = 4, source = "CDC11" }, '
        '{ from = 2027-05-01, value = 5, source = "CDC11" }]',
    )

    [(_, one)] = told(QUILLMERE, ends)

    assert "until 2027-05-01: value: 5 days → 4 days" in one.says


def test_a_difference_that_is_over_says_from_when_until_when() -> None:
    was = changed(
        "quillmere/dressing.toml",
        '[{ from = 2024-01-01, value = 5, source = "CDC11" }]',
        '[{ from = 2024-01-01, value = 4, source = "CDC11" }, '
        '{ from = 2025-05-01, value = 5, source = "CDC11" }]',
    )

    [(_, one)] = told(QUILLMERE, was)

    assert "from 2024-01-01 until 2025-05-01: value: 5 days → 4 days" in one.says


def test_every_kind_of_statement_is_compared_with_a_change_by_hand() -> None:
    """A kind that is changed nowhere above shows here; two stand for others."""
    by_hand = {wanted[0] for _, _, wanted in WRITTEN_OTHERWISE}

    assert set(KIND_WORDS) - by_hand <= {
        "refer", "plausible", "weighing", "film", "length_limit", "measuring", "scale",
        "round_item", "round_plan", "bound", "sane", "loosened", "safe", "needed",
            "head", "kind",
    }  # fmt: skip


def test_a_changed_statement_says_what_it_is_about_and_for_whom() -> None:
    less = changed(
        "quillmere/kit.toml",
        'count = { value = 2, unit = "count", from = 2024-01-01, source = "common-practice" }\nwhen',
        'count = { value = 0, unit = "count", from = 2024-01-01, source = "common-practice" }\nwhen',
    )

    [(_, one)] = told(QUILLMERE, less)

    assert one.sentence == (
        "“Iodine and what is left over are taken off with saline, and may need a second "
        "swab.”, when antiseptic is povidone-iodine or chlorhexidine-aqueous"
    )


def test_a_changed_number_says_which_statements_go_by_it() -> None:
    [(_, one)] = told(
        QUILLMERE,
        changed("quillmere/dressing.toml", "value = 5, source", "value = 10, source"),
    )

    assert one.sentence == (
        "“Longest stay of an umbilical arterial line”, named by uac-stays"
    )


def test_a_mass_that_is_no_longer_asked_for_is_told_as_a_question() -> None:
    less = changed(
        "quillmere/antisepsis.toml",
        'when = [{ mass = { below = "chg-mass" } }]',
        'when = [{ age = { below = "chg-age" } }]',
    )

    asked = {
        one.id: one.says for kind, one in told(QUILLMERE, less) if kind == "question"
    }

    assert asked["mass"] == (
        "before an antiseptic is chosen, for: chg-mass → nothing",
        (
            "beside the plan, for: chg-mass, chg-pad-small, moist-site, moist-site-small → "
            "chg-pad-small, moist-site, moist-site-small"
        ),
    )
    assert set(asked) == {"mass", "age"}


def test_what_is_only_looked_at_is_not_asked() -> None:
    """That the site bleeds is seen when it is bare; made to be asked, it is told."""
    asked = changed(
        "quillmere/dressing.toml", 'if_unknown = "look"', 'if_unknown = "ask"'
    )

    [one] = [one for kind, one in told(QUILLMERE, asked) if kind == "question"]

    assert one.id == "findings on the dressing"
    assert one.change == "added"
    assert "beside the plan, for: film-bleeding" in one.says
