"""A hospital's own rules made wrong together with the requirements that would have told.

Each is a careful slip: what is dropped, turned, narrowed or exchanged in a copy of the
house's set hangs together, and the set's own requirements say nothing any more.
"""

from __future__ import annotations

from tests.policy.mutants.mutant import (
    CHG,
    CORE,
    FAULTY,
    FILM,
    GAUZE,
    GEL,
    IODINE,
    Edit,
    Mutant,
    Seen,
    weeks,
)

RULES, LINE, OWN = "antisepsis.toml", "dressing.toml", "requirements.toml"
PEOPLE, KIT, HEAD = "people.toml", "kit.toml", "set.toml"
PUBLISHED = "published/requirements.toml: require"
CHG_AGE = (
    'means = "Age from which chlorhexidine may be used, counted in hours from birth"\n'
    'unit = "h"\nvalues = [{ from = 2024-01-01, value = 168, '
)
PADS = '["transparent-chg-gel", "transparent-chg-disc"]'
FILM_DAYS = (
    'with or without chlorhexidine"\nunit = "calendar-days"\n'
    "values = [{ from = 2024-01-01, value = "
)
FILM_ROW = 'task = "dressing"\nnot_after = "dressing-transparent"\n'


def dropped(file: str, *ids: str) -> tuple[Edit, ...]:
    """Return that each of these is taken out of a file."""
    return tuple(Edit(file=file, drop=id_) for id_ in ids)


def row(kind: str, id_: str, because: str, rest: str) -> str:
    """Return a row of a file, of common practice."""
    return (
        f'\n[[{kind}]]\nid = "{id_}"\nbecause = "{because}"\n'
        f'source = "common-practice"\nhow = "common-practice"\n{rest}\n'
    )


def at_rest(seen: Seen) -> bool:
    """Whether the child of a breach has a port without a needle."""
    line = seen.case.line
    return line.kind == "port" and line.needle_in is False


def in_the_cord(seen: Seen) -> bool:
    """Whether the child of a breach has a line in the cord."""
    return str(seen.case.line.kind).startswith("umbilical")


def has(seen: Seen, *kinds: str) -> bool:
    """Whether the line of a breach is of one of these kinds."""
    return seen.case.line.kind in kinds


def span(value: int, unit: str) -> str:
    """Return a number written inside a rule."""
    return (
        f'{{ value = {value}, unit = "{unit}", from = 2024-01-01, '
        'source = "common-practice", how = "common-practice" }'
    )


NO_LIMITS = dropped(
    OWN,
    "require-none-before-28-weeks",
    "require-none-under-1000-g",
    "require-none-before-7-days",
)

SKIN = (
    Mutant(
        name="alcohol-on-whoever-is-born",
        wrong="A baby of 500 g, an hour old, is scrubbed with alcohol.",
        base="quillmere",
        file=RULES,
        drop="chg-gestation",
        also=(*dropped(RULES, "chg-mass", "chg-age"), *NO_LIMITS),
        fails="safe",
        rule="require-no-alcohol-on-the-newest-skin",
        where=PUBLISHED,
        shows=lambda s: s.agent == CHG and s.may_be_younger_than(hours=168),
    ),
    Mutant(
        name="seven-days-are-six-hours",
        wrong="Six hours after birth the skin of a baby of 29 weeks is not a week old.",
        base="quillmere",
        file=RULES,
        find=CHG_AGE,
        put=CHG_AGE.replace("168", "6"),
        also=dropped(OWN, "require-none-before-7-days"),
        fails="safe",
        rule="require-no-alcohol-on-the-newest-skin",
        where=PUBLISHED,
        shows=lambda s: s.agent == CHG and s.may_be_born_before(weeks(34)),
    ),
    Mutant(
        name="a-week-in-minutes",
        wrong="168 minutes: the unit of the age was mistaken.",
        base="quillmere",
        file=RULES,
        find=CHG_AGE,
        put=CHG_AGE.replace('"h"', '"min"'),
        also=dropped(OWN, "require-none-before-7-days"),
        fails="safe",
        rule="require-no-alcohol-on-the-newest-skin",
        where=PUBLISHED,
        shows=lambda s: s.agent == CHG and s.may_be_born_before(weeks(34)),
    ),
    Mutant(
        name="from-next-year-no-first-week",
        wrong="Next year the first week is to be one hour long.",
        base="quillmere",
        file=RULES,
        find=CHG_AGE,
        put=CHG_AGE.replace(
            "{ from = 2024-01-01, value = 168, ",
            '{ from = 2027-01-01, value = 1, source = "common-practice" }, '
            "{ from = 2024-01-01, value = 168, ",
        ),
        also=dropped(OWN, "require-none-before-7-days"),
        fails="safe",
        rule="require-no-alcohol-on-the-newest-skin",
        where=PUBLISHED,
        shows=lambda s: s.agent == CHG and s.may_be_born_before(weeks(34)),
    ),
    Mutant(
        name="the-first-week-counts-in-one-unit-only",
        wrong="On the children's ward a baby of two days has no older skin.",
        base="quillmere",
        file=RULES,
        find='when = [{ age = { below = "chg-age" } }]',
        put='when = [{ age = { below = "chg-age" }, '
        'unit = { is = ["newborn-intensive-care"] } }]',
        also=dropped(OWN, "require-none-before-7-days"),
        fails="safe",
        rule="require-no-alcohol-on-the-newest-skin",
        where=PUBLISHED,
        shows=lambda s: s.agent == CHG and s.may_be_younger_than(hours=168),
    ),
    Mutant(
        name="the-same-bottle-under-another-name",
        wrong="No rule bars 'skin-prep' from anybody, and it is the same bottle.",
        base="quillmere",
        file=RULES,
        find="[agent.chlorhexidine-alcohol]\n",
        put='[agent.skin-prep]\nlabel = "Skin prep"\nbecause = "First choice."\n'
        'source = "common-practice"\ncontains = ["chlorhexidine", "alcohol"]\n'
        'strength = "chg-alcohol-strength"\nswabs = "chg-swabs"\n'
        'seconds_per_swab = "chg-seconds-per-swab"\ndry = "chg-dry"\n'
        'dry_judgement = "Wait until it is dry."\nmotion = "back-and-forth"\n'
        'motion_words = "Back and forth."\narea_low = "chg-area-low"\n'
        'area_high = "chg-area-high"\n\n[agent.chlorhexidine-alcohol]\n',
        also=(
            Edit(
                file=HEAD,
                find='antiseptics = ["chlorhexidine-alcohol", "povidone-iodine"]',
                put='antiseptics = ["chlorhexidine-alcohol", "skin-prep", "povidone-iodine"]',
            ),
            Edit(
                file=RULES,
                find='bars = ["chlorhexidine-alcohol"]\n'
                'when = [{ sensitivities = { includes = ["alcohol"] } }]',
                put='bars = ["chlorhexidine-alcohol", "skin-prep"]\n'
                'when = [{ sensitivities = { includes = ["alcohol"] } }]',
            ),
            Edit(
                file=RULES,
                find='"transparent-chg-disc", "chlorhexidine-bath"]\n'
                'when = [{ sensitivities = { includes = ["chlorhexidine"] } }]',
                put='"transparent-chg-disc", "chlorhexidine-bath", "skin-prep"]\n'
                'when = [{ sensitivities = { includes = ["chlorhexidine"] } }]',
            ),
            Edit(
                file=KIT,
                find="# What stays on the skin has to come off again",
                put='[[supply]]\nid = "supply-swabs-skin-prep"\n'
                'because = "The antiseptic of this plan."\nsource = "common-practice"\n'
                'item = "swabs-skin-prep"\nlabel = "Swabs of skin prep"\n'
                'count = "chg-swabs"\nwhen = [{ agent = { is = ["skin-prep"] } }]\n\n'
                "# What stays on the skin has to come off again",
            ),
        ),
        fails="safe",
        rule="require-no-alcohol-on-the-newest-skin",
        where=PUBLISHED,
        shows=lambda s: s.agent == "skin-prep" and s.may_be_younger_than(hours=168),
    ),
    Mutant(
        name="iodine-by-another-name-stays-on",
        wrong="It is called brown swabs now, and nobody takes it off a newborn.",
        base="quillmere",
        file=RULES,
        find="[agent.povidone-iodine]\n",
        put="[agent.brown-swabs]\n",
        also=(
            Edit(file=RULES, find='residue_removed_with = "sterile-saline"\n'),
            Edit(
                file=RULES,
                find='residue_words = "When dry, take it off with sterile saline from the '
                "middle outward, never back, until the colour is gone; let the skin dry "
                'and look again."\n',
            ),
            Edit(
                file=RULES,
                find='bars = ["povidone-iodine"]\n',
                put='bars = ["brown-swabs"]\n',
            ),
            Edit(
                file=HEAD,
                find='antiseptics = ["chlorhexidine-alcohol", "povidone-iodine"]',
                put='antiseptics = ["chlorhexidine-alcohol", "brown-swabs"]',
            ),
            *dropped(OWN, "require-iodine-off", "require-iodine-two-minutes"),
            *dropped(RULES, "pvi-repeated"),
            Edit(
                file=KIT,
                find="when = [{ agent = "
                '{ is = ["povidone-iodine", "chlorhexidine-aqueous"] } }]',
                put='when = [{ agent = { is = ["brown-swabs"] } }]\n\n[[supply]]\n'
                'id = "supply-brown-swabs"\nbecause = "The antiseptic of this plan."\n'
                'source = "common-practice"\nitem = "swabs-brown-swabs"\n'
                'label = "Brown swabs"\ncount = "pvi-swabs"\n'
                'when = [{ agent = { is = ["brown-swabs"] } }]',
            ),
        ),
        fails="safe",
        rule="require-iodine-off-newborn",
        where=PUBLISHED,
        shows=lambda s: s.agent == "brown-swabs",
    ),
    Mutant(
        name="broken-skin-is-scrubbed-with-alcohol",
        wrong="Alcohol on raw skin: the child will remember it, and so will the skin.",
        base="quillmere",
        file=RULES,
        drop="chg-skin",
        also=(
            *dropped(OWN, "require-none-on-broken-skin"),
            *dropped(OWN, "require-gauze-on-broken-skin"),
        ),
        fails="safe",
        rule="require-no-alcohol-on-broken-skin",
        where=PUBLISHED,
        shows=lambda s: s.agent == CHG and s.skin in (None, "broken"),
    ),
    Mutant(
        name="broken-skin-under-a-film",
        wrong="A film on raw skin takes the rest of it off.",
        base="quillmere",
        file=LINE,
        drop="film-broken-skin",
        also=(
            *dropped(OWN, "require-gauze-on-broken-skin"),
            Edit(
                file=LINE,
                find='because = "White, sodden skin: what keeps it wet comes off at once."\n'
                'source = "common-practice"',
                put='because = "White, sodden skin: what keeps it wet comes off at once."\n'
                'source = "film-change-text"',
            ),
        ),
        fails="safe",
        rule="require-no-film-on-broken-skin",
        where=PUBLISHED,
        shows=lambda s: s.dressing == FILM and s.skin in (None, "broken"),
    ),
    Mutant(
        name="broken-skin-only-at-the-groin",
        wrong="Skin is broken wherever it is broken, not at the groin alone.",
        base="quillmere",
        file=RULES,
        find='when = [{ skin_at_site = { is = ["broken"] } }]',
        put='when = [{ skin_at_site = { is = ["broken"] }, '
        'site = { is = ["femoral"] } }]',
        also=dropped(OWN, "require-none-on-broken-skin"),
        fails="safe",
        rule="require-no-alcohol-on-broken-skin",
        where=PUBLISHED,
        shows=lambda s: s.agent == CHG and s.site != "femoral",
    ),
    Mutant(
        name="iodine-for-everybody-first",
        wrong="The two bottles changed places on the shelf: iodine is tried first.",
        base="quillmere",
        file=HEAD,
        find='antiseptics = ["chlorhexidine-alcohol", "povidone-iodine"]',
        put='antiseptics = ["povidone-iodine", "chlorhexidine-alcohol"]',
        also=dropped(OWN, "require-chlorhexidine-otherwise"),
        fails="safe",
        rule="require-chlorhexidine-from-one-year",
        where=PUBLISHED,
        shows=lambda s: s.agent == IODINE,
    ),
    Mutant(
        name="chlorhexidine-for-teenagers",
        wrong="Ten years instead of seven days: hardly anybody gets chlorhexidine.",
        base="quillmere",
        file=RULES,
        find=CHG_AGE,
        put=CHG_AGE.replace('"h"', '"calendar-years"').replace("168", "10"),
        also=dropped(
            OWN, "require-chlorhexidine-otherwise", "require-pad-from-2-months"
        ),
        fails="safe",
        rule="require-chlorhexidine-from-one-year",
        where=PUBLISHED,
        shows=lambda s: s.agent == IODINE,
    ),
    Mutant(
        name="three-minutes-of-scrubbing",
        wrong="Three swabs of a minute each take the skin off with the germs.",
        base="quillmere",
        file=RULES,
        find='means = "Scrubbing with each chlorhexidine swab"\nunit = "s"\n'
        "values = [{ from = 2024-01-01, value = 10,",
        put='means = "Scrubbing with each chlorhexidine swab"\nunit = "s"\n'
        "values = [{ from = 2024-01-01, value = 60,",
        fails=CORE,
        rule="sane-scrub-chlorhexidine-longest",
    ),
    Mutant(
        name="iodine-left-on-a-newborn",
        wrong="Iodine stays on a newborn's skin and goes through it.",
        base="quillmere",
        file=RULES,
        find='residue_removed_with = "sterile-saline"\n',
        also=(
            Edit(
                file=RULES,
                find='residue_words = "When dry, take it off with sterile saline from the '
                "middle outward, never back, until the colour is gone; let the skin dry "
                'and look again."\n',
            ),
            *dropped(OWN, "require-iodine-off"),
        ),
        fails="safe",
        rule="require-iodine-off-newborn",
        where=PUBLISHED,
        shows=lambda s: s.agent == IODINE,
    ),
    Mutant(
        name="a-bath-in-the-first-month",
        wrong="A baby of ten days is bathed in chlorhexidine every day.",
        base="quillmere",
        file=RULES,
        drop="bath-under-2-months",
        fails="safe",
        rule="require-no-bath-under-2-months",
        where=PUBLISHED,
        shows=lambda s: s.may_be_younger_than(months=2),
    ),
)

DRESSINGS = (
    Mutant(
        name="pads-for-the-smallest",
        wrong="A pad of chlorhexidine lies on the skin of a baby of a kilogram for a week.",
        base="quillmere",
        file=RULES,
        drop="chg-pad-young",
        also=(
            *dropped(RULES, "chg-pad-early", "chg-pad-small"),
            *dropped(
                OWN, "require-no-pad-when-born-early", "require-no-pad-when-small"
            ),
        ),
        fails="safe",
        rule="require-no-pad-under-2-months",
        where=PUBLISHED,
        shows=lambda s: s.dressing == GEL and s.may_be_younger_than(months=2),
    ),
    Mutant(
        name="a-pad-from-two-weeks",
        wrong="Two weeks instead of two months.",
        base="quillmere",
        file=RULES,
        find='unit = "calendar-months"\nvalues = [{ from = 2024-01-01, value = 2, '
        'source = "SHEA22", how = "memory" }]',
        put='unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 14, '
        'source = "SHEA22", how = "memory" }]',
        fails="safe",
        rule="require-no-pad-under-2-months",
        where=PUBLISHED,
        shows=lambda s: s.dressing == GEL and s.may_be_younger_than(months=2),
    ),
    Mutant(
        name="a-film-over-a-bleeding-neck",
        wrong="At the neck it bleeds as it does elsewhere.",
        base="quillmere",
        file=LINE,
        find='when = [{ findings = { includes = ["bleeding"] } }]\n\n[[exclude]]',
        put='when = [{ findings = { includes = ["bleeding"] }, '
        'site = { is_not = ["internal-jugular"] } }]\n\n[[exclude]]',
        fails="safe",
        rule="require-gauze-if-bleeding",
        where=PUBLISHED,
        shows=lambda s: s.bleeds and s.dressing != GAUZE,
    ),
    Mutant(
        name="pus-can-wait",
        wrong="Pus under the film is looked at when the week is over.",
        base="quillmere",
        file=LINE,
        drop="dressing-over-pus",
        fails="safe",
        rule="require-pus-and-sodden-skin-at-once",
        where=PUBLISHED,
        shows=lambda s: "discharge" in s.found,
    ),
    Mutant(
        name="sodden-skin-can-wait",
        wrong="White, sodden skin stays under what keeps it wet.",
        base="quillmere",
        file=LINE,
        drop="dressing-over-sodden-skin",
        fails="safe",
        rule="require-pus-and-sodden-skin-at-once",
        where=PUBLISHED,
        shows=lambda s: "sodden" in s.found,
    ),
    Mutant(
        name="gauze-and-film-exchanged",
        wrong="Gauze for a week, and film for two days.",
        base="quillmere",
        file=LINE,
        find=FILM_DAYS + "7, ",
        put=FILM_DAYS + "2, ",
        also=(
            Edit(
                file=LINE,
                find='also under a film"\nunit = "calendar-days"\n'
                "values = [{ from = 2024-01-01, value = 2, ",
                put='also under a film"\nunit = "calendar-days"\n'
                "values = [{ from = 2024-01-01, value = 7, ",
            ),
        ),
        fails="safe",
        rule="require-gauze-stay",
        where=PUBLISHED,
        shows=lambda s: s.stays_h is None or s.stays_h > 48,
    ),
    Mutant(
        name="every-tunnelled-dressing-is-due-now",
        wrong="A dressing that holds is due the moment it is on, on every tunnelled line.",
        base="quillmere",
        file=LINE,
        add=row(
            "at_once",
            "tunnelled-now",
            "Tunnelled lines are dressed at once.",
            'task = "dressing"\nwhen = [{ line_kind = { is = ["tunnelled"] } }]',
        ),
        fails=CORE,
        rule="tunnelled-now",
        says="whatever is found",
    ),
    Mutant(
        name="two-months-of-film-in-newborn-intensive-care",
        wrong="Sixty days under one film, in newborn intensive care.",
        base="quillmere",
        file=LINE,
        add=row(
            "interval",
            "film-of-the-smallest",
            "In newborn intensive care a film stays long.",
            'task = "dressing"\npriority = 3\nnot_after = '
            f"{span(60, 'calendar-days')}\n"
            'when = [{ dressing = { is = ["transparent", "transparent-chg-gel", '
            '"transparent-chg-disc"] }, unit = { is = ["newborn-intensive-care"] } }]',
        ),
        also=dropped(OWN, "require-film-7-days-everywhere"),
        fails=CORE,
        rule="sane-dressing-stays",
    ),
    Mutant(
        name="a-film-over-a-port-at-rest",
        wrong="A port without a needle gets a film on whole skin, every week.",
        base="quillmere",
        file=LINE,
        find=FILM_ROW,
        put=FILM_ROW + "priority = 10\n",
        fails="safe",
        rule="require-nothing-due-on-a-port-at-rest",
        where=PUBLISHED,
        shows=at_rest,
    ),
    Mutant(
        name="a-film-over-the-cord",
        wrong="A cord's stump is closed in under a film, and changed by the week.",
        base="quillmere",
        file=LINE,
        find=FILM_ROW,
        put=FILM_ROW + "priority = 6\n",
        fails="safe",
        rule="require-no-clock-on-the-cord",
        where=PUBLISHED,
        shows=in_the_cord,
    ),
    Mutant(
        name="only-one-of-the-two-lines-of-the-cord",
        wrong="The arterial line of the cord is dressed by the clock.",
        base="quillmere",
        file=LINE,
        find='when = [{ line_kind = { is = ["umbilical-venous", "umbilical-arterial"] } }]',
        put='when = [{ line_kind = { is = ["umbilical-venous"] } }]',
        fails="safe",
        rule="require-no-clock-on-the-cord",
        where=PUBLISHED,
        shows=in_the_cord,
    ),
    Mutant(
        name="a-port-at-rest-has-no-rule",
        wrong="Somebody changes the dressing of a port that has none.",
        base="quillmere",
        file=LINE,
        drop="port-at-rest-dressing",
        fails="safe",
        rule="require-nothing-due-on-a-port-at-rest",
        where=PUBLISHED,
        shows=at_rest,
    ),
    Mutant(
        name="a-needle-is-due-in-a-port-at-rest",
        wrong="A port at rest is stuck every week, since its needle is due.",
        base="quillmere",
        file=LINE,
        drop="port-at-rest-needle",
        fails="safe",
        rule="require-no-needle-due-in-a-port-at-rest",
        where=PUBLISHED,
        shows=at_rest,
    ),
)

LINES = (
    Mutant(
        name="tunnelled-lines-out-after-a-week",
        wrong="A tunnelled line is pulled every week because the calendar says so.",
        base="quillmere",
        file=LINE,
        add=row(
            "interval",
            "tunnelled-stays",
            "Tunnelled lines are replaced.",
            f'task = "line-stay"\nnot_after = {span(7, "calendar-days")}\n'
            'when = [{ line_kind = { is = ["tunnelled"] } }]',
        ),
        fails="safe",
        rule="require-no-line-replaced-by-the-clock",
        where=PUBLISHED,
        shows=lambda s: has(s, "tunnelled"),
    ),
    Mutant(
        name="piccs-out-after-three-days",
        wrong="A PICC that runs well is replaced every three days.",
        base="quillmere",
        file=LINE,
        add=row(
            "interval",
            "picc-stays",
            "PICCs are replaced.",
            f'task = "line-stay"\nnot_after = {span(3, "calendar-days")}\n'
            'when = [{ line_kind = { is = ["picc"] } }]',
        ),
        fails="safe",
        rule="require-no-line-replaced-by-the-clock",
        where=PUBLISHED,
        shows=lambda s: has(s, "picc"),
    ),
    Mutant(
        name="a-damp-dressing-costs-the-line",
        wrong="The dressing is damp, so the line comes out.",
        base="quillmere",
        file=LINE,
        add=row(
            "at_once",
            "damp-so-out",
            "A damp dressing ends the line.",
            'task = "line-stay"\nwhen = [{ findings = { includes = ["damp"] } }]',
        ),
        fails="safe",
        rule="require-no-line-out-for-its-dressing",
        where=PUBLISHED,
        shows=lambda s: "damp" in s.found,
    ),
    Mutant(
        name="a-port-needle-on-one-ward",
        wrong="Only on the general ward is a needle ever due.",
        base="quillmere",
        file=LINE,
        find='not_after = "port-needle"\nwhen = [{ line_kind = { is = ["port"] } }]',
        put='not_after = "port-needle"\nwhen = [{ line_kind = { is = ["port"] }, '
        'unit = { is = ["ward"] } }]',
        fails="safe",
        rule="require-port-needle-stay",
        where=PUBLISHED,
        shows=lambda s: s.has_no_time("port-needle"),
    ),
    Mutant(
        name="a-port-needle-for-four-weeks",
        wrong="28 days through the same hole.",
        base="quillmere",
        file=LINE,
        find='unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 7, '
        'source = "INS21", how = "memory" }]',
        put='unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 28, '
        'source = "INS21", how = "memory" }]',
        fails="safe",
        rule="require-port-needle-stay",
        where=PUBLISHED,
        shows=lambda s: has(s, "port") and not at_rest(s),
    ),
    Mutant(
        name="stays-of-the-cord-exchanged",
        wrong="Five days for the vein and fourteen for the artery.",
        base="quillmere",
        file=LINE,
        find='value = 14, source = "CDC11"',
        put='value = 5, source = "CDC11"',
        also=(
            Edit(
                file=LINE,
                find='an umbilical arterial line"\nunit = "calendar-days"\n'
                "values = [{ from = 2024-01-01, value = 5,",
                put='an umbilical arterial line"\nunit = "calendar-days"\n'
                "values = [{ from = 2024-01-01, value = 14,",
            ),
        ),
        fails="safe",
        rule="require-umbilical-arterial-stay",
        where=PUBLISHED,
        shows=in_the_cord,
    ),
    Mutant(
        name="connectors-every-day",
        wrong="A new connector every day opens the line every day.",
        base="quillmere",
        file=LINE,
        find='because = "Connectors go with the set: not before '
        '{connector-not-before}, not after {connector-not-after}."\n'
        'source = "INS21"\ntask = "connector"\nnot_before = "connector-not-before"\n'
        'not_after = "connector-not-after"',
        put='because = "Connectors go often."\nsource = "INS21"\n'
        'task = "connector"\nnot_after = "set-blood"',
        fails="safe",
        rule="require-connectors-rest",
        where=PUBLISHED,
        shows=lambda s: s.window("connector").not_before is None,
    ),
    Mutant(
        name="lipid-in-days-instead-of-hours",
        wrong="24 days of lipid through one set: hours became days.",
        base="quillmere",
        file=LINE,
        find='means = "A set that has carried lipid is changed by then"\nunit = "h"',
        put='means = "A set that has carried lipid is changed by then"\n'
        'unit = "calendar-days"',
        fails="safe",
        rule="require-lipid-and-blood-set-in-a-day",
        where=PUBLISHED,
        shows=lambda s: s.window("set", "lipid").counted,
    ),
    Mutant(
        name="the-film-for-seventy-days-from-next-year",
        wrong="Next year somebody slips with a nought: seventy days.",
        base="quillmere",
        file=LINE,
        find='means = "Longest stay of a clear film, with or without chlorhexidine"\n'
        'unit = "calendar-days"\nvalues = [',
        put='means = "Longest stay of a clear film, with or without chlorhexidine"\n'
        'unit = "calendar-days"\nvalues = [{ from = 2027-01-01, value = 70, '
        'source = "common-practice" }, ',
        also=dropped(OWN, "require-film-7-days-everywhere"),
        fails="safe",
        rule="require-film-stay",
        where=PUBLISHED,
        shows=lambda s: s.window("dressing", FILM).counted,
    ),
)

ROUND_THE_BED = (
    Mutant(
        name="alone-with-an-infant",
        wrong="On the ward one nurse changes it alone, and holds the child with her elbow.",
        base="quillmere",
        file=PEOPLE,
        add=row(
            "staffing",
            "one-on-the-ward",
            "One will do on a ward.",
            f'staff = {span(1, "count")}\nmasks_within = "mask-radius"\n'
            'when = [{ unit = { is = ["ward"] } }]\nroles = [\n'
            '  { id = "operator", label = "Operator", does = "All of it.", '
            'gloves = "sterile" },\n'
            '  { id = "assistant", label = "Nobody", does = "Nothing.", '
            'gloves = "none" },\n]',
        ),
        fails="safe",
        rule="require-two-people",
        where=PUBLISHED,
        shows=lambda s: s.unit in (None, "ward"),
    ),
    Mutant(
        name="a-film-as-large-as-the-chest",
        wrong="The kit's film is 150 by 200: it covers a baby from the chin to the navel.",
        base="quillmere",
        file=KIT,
        find='size = "60 × 70 mm"',
        put='size = "150 × 200 mm"',
        fails=CORE,
        rule="kit-clear-film-gel",
        says="fits no child",
    ),
    Mutant(
        name="a-kit-for-one-ward",
        wrong="The row says when it counts; nothing reads that, and it counts everywhere.",
        base="quillmere",
        file=KIT,
        find='item = "label"\n',
        put='item = "label"\nwhen = [{ unit = { is = ["ward"] } }]\n',
        fails=FAULTY,
        code="policy-unknown-key",
    ),
    Mutant(
        name="the-same-thing-twice-in-the-kit",
        wrong="Two rows say what of saline lies in the kit, and the later one wins.",
        base="quillmere",
        file=KIT,
        find='[[kit]]\nid = "kit-sterile-gauze"',
        put='[[kit]]\nid = "kit-more-saline"\nbecause = "Lies in the change kit."\n'
        'source = "quillmere-kit"\nitem = "sterile-saline"\ncount = { value = 9, '
        'unit = "count", from = 2024-01-01, source = "quillmere-kit" }\n\n[[kit]]\n'
        'id = "kit-sterile-gauze"',
        fails=FAULTY,
        code="policy-same-item",
    ),
    Mutant(
        name="gauze-for-lifting-only-at-the-groin",
        wrong="One saline swab for iodine, and that only in intensive care.",
        base="quillmere",
        file=KIT,
        find="when = [{ agent = "
        '{ is = ["povidone-iodine", "chlorhexidine-aqueous"] } }]',
        put='when = [{ agent = { is = ["povidone-iodine"] }, '
        'unit = { is = ["intensive-care"] } }]',
        fails="safe",
        rule="povidone-iodine",
        says="none is laid out",
        shows=lambda s: "sterile-saline" not in s.laid_out,
    ),
)

TOO_EARLY = (
    Mutant(
        name="blood-under-the-film-and-the-needle-is-pulled",
        wrong="The site bleeds, so the needle comes out, and the child is stuck again.",
        base="quillmere",
        file=LINE,
        add=row(
            "at_once",
            "needle-bleeds",
            "Bleeding: needle out.",
            'task = "port-needle"\nwhen = [{ findings = { includes = ["bleeding"] } }]',
        ),
        fails="safe",
        rule="require-no-needle-out-for-its-dressing",
        where=PUBLISHED,
        shows=lambda s: "bleeding" in s.found,
    ),
    Mutant(
        name="a-wet-film-opens-the-line",
        wrong="The film is damp, so the connectors are changed: the line is opened for it.",
        base="quillmere",
        file=LINE,
        add=row(
            "at_once",
            "damp-connectors",
            "Damp: connectors off at once.",
            'task = "connector"\nwhen = [{ findings = { includes = ["damp"] } }]',
        ),
        fails="safe",
        rule="require-no-connector-off-for-its-dressing",
        where=PUBLISHED,
        shows=lambda s: "damp" in s.found,
    ),
    Mutant(
        name="a-loose-film-and-the-set-is-cut-off",
        wrong="The film is loose, so the whole set is taken down.",
        base="quillmere",
        file=LINE,
        add=row(
            "at_once",
            "loose-set",
            "Loose: the set goes at once.",
            'task = "set"\nwhen = [{ findings = { includes = ["loose"] } }]',
        ),
        fails="safe",
        rule="require-no-set-off-for-its-dressing",
        where=PUBLISHED,
        shows=lambda s: "loose" in s.found,
    ),
    Mutant(
        name="an-extra-look-is-too-early",
        wrong="She looks at night because he cries, and is told that it is too early.",
        base="quillmere",
        file=LINE,
        add=row(
            "interval",
            "site-look-too-early",
            "Look.",
            'task = "site-check"\nnot_before = { value = 20, unit = "h", from = '
            '2024-01-01, source = "common-practice" }\nnot_after = { value = 24, '
            'unit = "h", from = 2024-01-01, source = "common-practice" }',
        ),
        fails=CORE,
        rule="sane-look-not-before",
    ),
    Mutant(
        name="three-minutes-at-the-neck",
        wrong="Every neck is scrubbed for three minutes, the smallest too.",
        base="quillmere",
        file=RULES,
        add=row(
            "site_rule",
            "neck",
            "Longer at the neck.",
            'scrub_at_least = { value = 180, unit = "s", from = 2024-01-01, source = '
            '"common-practice" }\ndry_at_least = { value = 60, unit = "s", from = '
            '2024-01-01, source = "common-practice" }\n'
            'when = [{ site = { is = ["internal-jugular"] } }]',
        ),
        fails=CORE,
        rule="sane-site-scrub",
    ),
)

MUTANTS = (*SKIN, *DRESSINGS, *LINES, *ROUND_THE_BED, *TOO_EARLY)
