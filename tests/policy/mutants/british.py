"""The British set made wrong together with the requirements that would have told."""

from __future__ import annotations

from tests.policy.mutants.house import (
    PUBLISHED,
    at_rest,
    dropped,
    has,
    in_the_cord,
    row,
    span,
)
from tests.policy.mutants.mutant import (
    CHG,
    CORE,
    FILM,
    GAUZE,
    IODINE,
    WATER,
    Edit,
    Mutant,
    weeks,
)

RULES, DUE, NUMBERS = "antiseptics.toml", "intervals.toml", "numbers.toml"
OWN, PEOPLE, HEAD = "requirements.toml", "people.toml", "set.toml"
FILM_ROW = 'task = "dressing"\nnot_after = "dressing-transparent"\n'
RINSED = (
    'residue_removed_with = "sterile-water"\nresidue_words = "Take off what is left '
    "over and any wet drape, then let the skin dry: nothing may stay under the film."
    '"\n'
)

MUTANTS = (
    Mutant(
        name="british-water-stays-on",
        wrong="Chlorhexidine in water is left to burn under the smallest one's back.",
        base="uk-guideline",
        file=RULES,
        find=RINSED,
        put="",
        also=dropped(PEOPLE, "supply-sterile-water"),
        fails="safe",
        rule="require-water-off-newborn",
        where=PUBLISHED,
        shows=lambda s: s.agent == WATER,
    ),
    Mutant(
        name="british-strong-water",
        wrong="Two of a hundred in water on a baby of 25 weeks: four times what is named.",
        base="uk-guideline",
        file=NUMBERS,
        find='values = [{ from = 2024-01-01, value = 0.5, source = "NPPG"',
        put='values = [{ from = 2024-01-01, value = 2, source = "NPPG"',
        fails="safe",
        rule="require-weak-water-on-the-newest-skin",
        where=PUBLISHED,
        shows=lambda s: s.agent == WATER,
    ),
    Mutant(
        name="british-iodine-on-the-smallest",
        wrong="A baby of 800 g sensitive to chlorhexidine is painted with iodine.",
        base="uk-guideline",
        file=RULES,
        drop="iodine-born-early",
        also=(
            *dropped(RULES, "iodine-small", "sensitive-baby"),
            *dropped(OWN, "require-no-iodine-when-small"),
        ),
        fails="safe",
        rule="require-no-iodine-on-the-smallest",
        where=PUBLISHED,
        shows=lambda s: s.agent == IODINE,
    ),
    Mutant(
        name="british-iodine-of-the-first-day-only",
        wrong="After the first day the formulary no longer counts.",
        base="uk-guideline",
        file=RULES,
        find='when = [{ mass = { below = "bnf-mass" }, age = { below = "newborn-until" } }]',
        put='when = [{ mass = { below = "bnf-mass" }, age = { below = '
        f"{span(24, 'h')} }} }}]",
        also=(
            *dropped(RULES, "sensitive-baby"),
            *dropped(OWN, "require-no-iodine-when-small"),
        ),
        fails="safe",
        rule="require-no-iodine-on-the-smallest",
        where=PUBLISHED,
        shows=lambda s: s.agent == IODINE,
    ),
    Mutant(
        name="british-alcohol-on-the-newest",
        wrong="Nobody is too early or too new for alcohol.",
        base="uk-guideline",
        file=RULES,
        drop="no-alcohol-when-early-and-new",
        also=(
            *dropped(RULES, "water-only-when-early-and-new"),
            *dropped(OWN, "require-water-when-early-and-new"),
            Edit(
                file=HEAD,
                find='antiseptics = ["chlorhexidine-aqueous", "chlorhexidine-alcohol", '
                '"povidone-iodine"]',
                put='antiseptics = ["chlorhexidine-alcohol", "povidone-iodine"]',
            ),
            *dropped(
                PEOPLE, "supply-swabs-chlorhexidine-aqueous", "supply-sterile-water"
            ),
        ),
        fails="safe",
        rule="require-no-alcohol-on-the-newest-skin",
        where=PUBLISHED,
        shows=lambda s: s.agent == CHG and s.may_be_younger_than(hours=168),
    ),
    Mutant(
        name="british-alcohol-after-a-day",
        wrong="After 24 hours the youngest skin counts as old.",
        base="uk-guideline",
        file=RULES,
        find='when = [{ gestation_at_birth = { below = "nppg-gestation" }, '
        'age = { below = "nppg-age" } }]',
        put='when = [{ gestation_at_birth = { below = "nppg-gestation" }, '
        f"age = {{ below = {span(24, 'h')} }} }}]",
        also=(
            Edit(
                file=RULES,
                find='because = "Born before {nppg-gestation} and younger than '
                '{nppg-age}."\n',
                put='because = "Born before {nppg-gestation}, on the first day."\n',
            ),
            Edit(
                file=RULES,
                find='born before {nppg-gestation}, in their first {nppg-age}."',
                put='born before {nppg-gestation}, on their first day."',
            ),
            Edit(
                file=RULES,
                find='  { age = { at_least = "nppg-age" } },\n]',
                put=f"  {{ age = {{ at_least = {span(24, 'h')} }} }},\n]",
            ),
            *dropped(OWN, "require-water-when-early-and-new"),
        ),
        fails="safe",
        rule="require-no-alcohol-on-the-newest-skin",
        where=PUBLISHED,
        shows=lambda s: s.agent == CHG and s.may_be_born_before(weeks(34)),
    ),
    Mutant(
        name="british-water-for-everybody",
        wrong="A weak rinse for a child of ten: the line is what suffers.",
        base="uk-guideline",
        file=RULES,
        drop="water-only-when-early-and-new",
        also=dropped(
            OWN,
            "require-alcohol-from-34-weeks",
            "require-alcohol-from-7-days",
        ),
        fails="safe",
        rule="require-chlorhexidine-from-one-year",
        where=PUBLISHED,
        shows=lambda s: s.agent == WATER,
    ),
    Mutant(
        name="british-broken-skin-is-scrubbed",
        wrong="Broken skin is scrubbed and sealed.",
        base="uk-guideline",
        file=RULES,
        drop="broken-skin",
        also=(
            *dropped(RULES, "impregnated-on-broken-skin"),
            *dropped(OWN, "require-no-answer-on-broken-skin"),
        ),
        fails="safe",
        rule="require-no-alcohol-on-broken-skin",
        where=PUBLISHED,
        shows=lambda s: s.agent == CHG and s.skin in (None, "broken"),
    ),
    Mutant(
        name="british-film-on-broken-skin",
        wrong="The antiseptic is barred from broken skin, and the film is not.",
        base="uk-guideline",
        file=RULES,
        find='bars = ["chlorhexidine-aqueous", "chlorhexidine-alcohol", '
        '"povidone-iodine", "transparent"]',
        put='bars = ["chlorhexidine-aqueous", "chlorhexidine-alcohol"]',
        also=(
            *dropped(RULES, "impregnated-on-broken-skin"),
            *dropped(OWN, "require-no-answer-on-broken-skin"),
        ),
        fails="safe",
        rule="require-no-film-on-broken-skin",
        where=PUBLISHED,
        shows=lambda s: s.dressing == FILM and s.skin in (None, "broken"),
    ),
    Mutant(
        name="british-bath-of-a-newborn",
        wrong="A daily bath in chlorhexidine from the day of birth.",
        base="uk-guideline",
        file=DUE,
        drop="bath-under-2-months",
        fails="safe",
        rule="require-no-bath-under-2-months",
        where=PUBLISHED,
        shows=lambda s: s.may_be_younger_than(months=2),
    ),
    Mutant(
        name="british-pads-on-newborns",
        wrong="Films with a pad come into the cupboard, and nobody says for whom not.",
        base="uk-guideline",
        file=DUE,
        drop="impregnated-under-2-months",
        also=(
            Edit(
                file=HEAD,
                find='dressings = ["transparent", "gauze"]',
                put='dressings = ["transparent-chg-gel", "transparent", "gauze"]',
            ),
        ),
        fails="safe",
        rule="require-no-pad-under-2-months",
        where=PUBLISHED,
        shows=lambda s: s.dressing == "transparent-chg-gel",
    ),
    Mutant(
        name="british-film-over-the-cord",
        wrong="The film's rule goes before the one of the cord.",
        base="uk-guideline",
        file=DUE,
        find=FILM_ROW,
        put=FILM_ROW + "priority = 6\n",
        fails="safe",
        rule="require-no-clock-on-the-cord",
        where=PUBLISHED,
        shows=in_the_cord,
    ),
    Mutant(
        name="british-port-at-rest-is-dressed",
        wrong="A port with no needle is dressed by the week.",
        base="uk-guideline",
        file=DUE,
        drop="port-at-rest-dressing",
        fails="safe",
        rule="require-nothing-due-on-a-port-at-rest",
        where=PUBLISHED,
        shows=at_rest,
    ),
    Mutant(
        name="british-piccs-every-month",
        wrong="A PICC is replaced by the month, needed or not, working or not.",
        base="uk-guideline",
        file=DUE,
        add=row(
            "interval",
            "picc-a-month",
            "PICCs are replaced.",
            f'task = "line-stay"\nnot_after = {span(1, "calendar-months")}\n'
            'when = [{ line_kind = { is = ["picc"] } }]',
        ),
        fails="safe",
        rule="require-no-line-replaced-by-the-clock",
        where=PUBLISHED,
        shows=lambda s: has(s, "picc"),
    ),
    Mutant(
        name="british-sodden-can-wait",
        wrong="White, sodden skin is left as it is.",
        base="uk-guideline",
        file=DUE,
        drop="sodden-skin-under-dressing",
        fails="safe",
        rule="require-pus-and-sodden-skin-at-once",
        where=PUBLISHED,
        shows=lambda s: "sodden" in s.found,
    ),
    Mutant(
        name="british-film-on-a-bleeding-site-of-the-old",
        wrong="From six years on a film may lie on blood.",
        base="uk-guideline",
        file=DUE,
        find='when = [{ findings = { includes = ["bleeding"] } }]\n\n[[interval]]',
        put='when = [{ findings = { includes = ["bleeding"] }, '
        'age = { below = "film-large-from" } }]\n\n[[interval]]',
        fails="safe",
        rule="require-gauze-if-bleeding",
        where=PUBLISHED,
        shows=lambda s: s.bleeds and s.dressing != GAUZE,
    ),
    Mutant(
        name="british-blood-set-of-the-day",
        wrong="A blood set stays for twelve days: hours became days.",
        base="uk-guideline",
        file=NUMBERS,
        find='means = "longest use of a blood set"\nunit = "h"',
        put='means = "longest use of a blood set"\nunit = "calendar-days"',
        also=dropped(OWN, "require-blood-set-in-half-a-day"),
        fails="safe",
        rule="require-lipid-and-blood-set-in-a-day",
        where=PUBLISHED,
        shows=lambda s: s.window("set", "blood").counted,
    ),
    Mutant(
        name="british-look-once-a-week",
        wrong="The site is looked at when the dressing is changed, and never between.",
        base="uk-guideline",
        file=NUMBERS,
        find='means = "how often the site is looked at"\nunit = "calendar-days"\n'
        "values = [{ from = 2024-01-01, value = 1,",
        put='means = "how often the site is looked at"\nunit = "calendar-days"\n'
        "values = [{ from = 2024-01-01, value = 7,",
        fails="safe",
        rule="require-daily-look",
        where=PUBLISHED,
        shows=lambda s: s.window("site-check").counted,
    ),
    Mutant(
        name="british-groin-of-the-smallest-scrubbed-long",
        wrong="Two minutes of scrubbing in the groin of a baby of a kilogram.",
        base="uk-guideline",
        file=RULES,
        find="scrub no longer than on a dry site, {groin-small-scrub}, with the least "
        'that will do, and dry at least {moist-dry}."\nsource = "common-practice"\n'
        'how = "common-practice"\nscrub_at_least = "groin-small-scrub"',
        put='scrub as any other, {moist-scrub}, and dry at least {moist-dry}."\n'
        'source = "common-practice"\nhow = "common-practice"\n'
        'scrub_at_least = "moist-scrub"',
        fails="safe",
        rule="require-no-long-scrub-in-a-small-groin",
        where=PUBLISHED,
        says="chlorhexidine",
        shows=lambda s: s.site == "femoral",
    ),
    Mutant(
        name="british-water-scrubbed-for-minutes",
        wrong="Two minutes of rubbing on the skin of a baby of 25 weeks.",
        base="uk-guideline",
        file=RULES,
        find='swabs = "chg-aqueous-swabs"\ndry = "chg-aqueous-dry"',
        put=f'swabs = "chg-aqueous-swabs"\nseconds_per_swab = {span(120, "s")}\n'
        'dry = "chg-aqueous-dry"',
        fails=CORE,
        rule="sane-seconds-per-swab",
    ),
    Mutant(
        name="british-five-swabs-of-water",
        wrong="Eight swabs of it on the smallest: it runs under the back and burns.",
        base="uk-guideline",
        file=NUMBERS,
        find='no document gives a number, as little as will do"\nunit = "count"\n'
        "values = [{ from = 2024-01-01, value = 1,",
        put='no document gives a number, as little as will do"\nunit = "count"\n'
        "values = [{ from = 2024-01-01, value = 8,",
        fails=CORE,
        rule="sane-swabs-of-water",
    ),
    Mutant(
        name="british-three-metres-for-masks",
        wrong="Masks within three centimetres: metres became centimetres.",
        base="uk-guideline",
        file=NUMBERS,
        find='everyone wears a mask"\nunit = "m"',
        put='everyone wears a mask"\nunit = "cm"',
        fails=CORE,
        rule="sane-masks-within",
    ),
)
