"""A limit moved, up or down; a unit swapped; a test turned strict or loose."""

from __future__ import annotations

from tests.policy.mutants.mutant import (
    CHG,
    FAULTY,
    GEL,
    IODINE,
    WATER,
    Mutant,
    weeks,
)

RULES = "antisepsis.toml"
REQUIRED = "quillmere/requirements.toml: require"

MOVED = (
    Mutant(
        name="gestation-limit-a-week-down",
        wrong="Chlorhexidine is allowed from 27 weeks instead of 28.",
        base="quillmere",
        file=RULES,
        find='value = "28w0d", source = "common-practice" }]',
        put='value = "27w0d", source = "common-practice" }]',
        fails="safe",
        rule="require-none-before-28-weeks",
        where=REQUIRED,
        shows=lambda s: (
            s.agent == CHG
            and s.is_born_between(weeks(27), weeks(28))
            and s.may_be_younger_than(months=2)
        ),
    ),
    Mutant(
        name="gestation-limit-a-day-down",
        wrong="Chlorhexidine is allowed from 27 weeks and 6 days.",
        base="quillmere",
        file=RULES,
        find='value = "28w0d", source = "common-practice" }]',
        put='value = "27w6d", source = "common-practice" }]',
        fails="safe",
        rule="require-none-before-28-weeks",
        where=REQUIRED,
        shows=lambda s: s.agent == CHG and s.is_born_at(weeks(27, 6)),
    ),
    Mutant(
        name="gestation-limit-a-week-up",
        wrong="Chlorhexidine is kept from babies born at 28 weeks.",
        base="quillmere",
        file=RULES,
        find='value = "28w0d", source = "common-practice" }]',
        put='value = "29w0d", source = "common-practice" }]',
        fails="safe",
        rule="require-chlorhexidine-otherwise",
        where=REQUIRED,
        shows=lambda s: s.agent == IODINE and s.is_born_between(weeks(28), weeks(29)),
    ),
    Mutant(
        name="gestation-bar-ends-a-month-early",
        wrong="Gestation at birth stops to matter at one month instead of two.",
        base="quillmere",
        file=RULES,
        find='unit = "calendar-months"\n'
        'values = [{ from = 2024-01-01, value = 2, source = "quillmere-reading" }]',
        put='unit = "calendar-months"\n'
        'values = [{ from = 2024-01-01, value = 1, source = "quillmere-reading" }]',
        fails="safe",
        rule="require-none-before-28-weeks",
        where=REQUIRED,
        shows=lambda s: (
            s.agent == CHG
            and s.may_be_born_before(weeks(28))
            and s.may_be_younger_than(months=2)
            and s.may_be_as_old_as(months=1)
        ),
    ),
    Mutant(
        name="gestation-bar-ends-a-month-late",
        wrong="Gestation at birth still bars in the third month.",
        base="quillmere",
        file=RULES,
        find='unit = "calendar-months"\n'
        'values = [{ from = 2024-01-01, value = 2, source = "quillmere-reading" }]',
        put='unit = "calendar-months"\n'
        'values = [{ from = 2024-01-01, value = 3, source = "quillmere-reading" }]',
        fails="safe",
        rule="require-chlorhexidine-otherwise",
        where=REQUIRED,
        shows=lambda s: (
            s.agent == IODINE
            and s.may_be_as_old_as(months=2)
            and s.may_be_younger_than(months=3)
        ),
    ),
    Mutant(
        name="mass-limit-down",
        wrong="Chlorhexidine is allowed from 900 g.",
        base="quillmere",
        file=RULES,
        find='value = 1000, source = "common-practice"',
        put='value = 900, source = "common-practice"',
        fails="safe",
        rule="require-none-under-1000-g",
        where=REQUIRED,
        shows=lambda s: s.agent == CHG and 900 <= (s.grams or 0) < 1000,
    ),
    Mutant(
        name="mass-limit-up",
        wrong="Chlorhexidine is kept from babies of 1000 to 1099 g.",
        base="quillmere",
        file=RULES,
        find='value = 1000, source = "common-practice"',
        put='value = 1100, source = "common-practice"',
        fails="safe",
        rule="require-chlorhexidine-otherwise",
        where=REQUIRED,
        shows=lambda s: s.agent == IODINE and 1000 <= (s.grams or 0) < 1100,
    ),
    Mutant(
        name="age-limit-an-hour-early",
        wrong="Chlorhexidine is allowed an hour before seven days are full.",
        base="quillmere",
        file=RULES,
        find="value = 168,",
        put="value = 167,",
        fails="safe",
        rule="require-none-before-7-days",
        where=REQUIRED,
        shows=lambda s: (
            s.agent == CHG
            and s.may_be_younger_than(hours=168)
            and s.may_be_as_old_as(hours=167)
        ),
    ),
    Mutant(
        name="age-limit-a-day-late",
        wrong="Chlorhexidine is kept from babies on day 7.",
        base="quillmere",
        file=RULES,
        find="value = 168,",
        put="value = 192,",
        fails="safe",
        rule="require-chlorhexidine-otherwise",
        where=REQUIRED,
        shows=lambda s: (
            s.agent == IODINE
            and s.may_be_younger_than(hours=192)
            and s.may_be_as_old_as(hours=168)
        ),
    ),
    Mutant(
        name="pad-limit-down",
        wrong="A chlorhexidine dressing is allowed from one month.",
        base="quillmere",
        file=RULES,
        find='value = 2, source = "SHEA22", how = "memory" }]',
        put='value = 1, source = "SHEA22", how = "memory" }]',
        fails="safe",
        rule="require-no-pad-under-2-months",
        where="published/requirements.toml: require",
        shows=lambda s: s.dressing == GEL and s.may_be_younger_than(months=2),
    ),
    Mutant(
        name="film-stays-eight-days",
        wrong="A clear film may stay eight days.",
        base="quillmere",
        file="dressing.toml",
        find='means = "Longest stay of a clear film, with or without chlorhexidine"\n'
        'unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 7,',
        put='means = "Longest stay of a clear film, with or without chlorhexidine"\n'
        'unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 8,',
        fails="safe",
        rule="require-film-7-days-everywhere",
        where=REQUIRED,
        shows=lambda s: s.stays_h == 8 * 24 and s.dressing != "gauze",
    ),
    Mutant(
        name="american-age-limit-down",
        wrong="The American set gives chlorhexidine from one month.",
        base="us-guideline",
        file="published/limits.toml",
        find='values = [{ from = 2024-01-01, value = 2, source = "CDC11", how = "memory" }]',
        put='values = [{ from = 2024-01-01, value = 1, source = "CDC11", how = "memory" }]',
        fails="safe",
        rule="require-no-answer-under-2-months",
        where="us-guideline/requirements.toml: require",
        shows=lambda s: s.verdict == "plan" and s.may_be_younger_than(months=2),
    ),
    Mutant(
        name="american-age-limit-up",
        wrong="The American set refers children in their third month too.",
        base="us-guideline",
        file="published/limits.toml",
        find='values = [{ from = 2024-01-01, value = 2, source = "CDC11", how = "memory" }]',
        put='values = [{ from = 2024-01-01, value = 3, source = "CDC11", how = "memory" }]',
        fails="safe",
        rule="require-chlorhexidine-first",
        where="us-guideline/requirements.toml: require",
        says="another verdict is given: no plan, and somebody is to be called",
        shows=lambda s: s.verdict == "stop" and s.may_be_as_old_as(months=2),
    ),
    Mutant(
        name="british-gestation-limit-down",
        wrong="Born at 33 weeks, in the first week: chlorhexidine in alcohol.",
        base="uk-guideline",
        file="published/limits.toml",
        find='value = "34w0d"',
        put='value = "33w0d"',
        fails="safe",
        rule="require-water-when-early-and-new",
        where="uk-guideline/requirements.toml: require",
        shows=lambda s: s.agent == CHG and s.is_born_between(weeks(33), weeks(34)),
    ),
    Mutant(
        name="british-gestation-limit-up",
        wrong="Born at 34 weeks, in the first week: chlorhexidine in water.",
        base="uk-guideline",
        file="published/limits.toml",
        find='value = "34w0d"',
        put='value = "35w0d"',
        fails="safe",
        rule="require-alcohol-from-34-weeks",
        where="uk-guideline/requirements.toml: require",
        shows=lambda s: s.agent == WATER and s.is_born_between(weeks(34), weeks(35)),
    ),
    Mutant(
        name="british-age-limit-up",
        wrong="Born before 34 weeks: chlorhexidine in water for eight days.",
        base="uk-guideline",
        file="published/limits.toml",
        find='value = 168, source = "NPPG"',
        put='value = 192, source = "NPPG"',
        fails="safe",
        rule="require-alcohol-from-7-days",
        where="uk-guideline/requirements.toml: require",
        shows=lambda s: s.agent == WATER and s.may_be_as_old_as(hours=168),
    ),
)

UNITS = (
    Mutant(
        name="hours-become-minutes",
        wrong="Seven days became 168 minutes.",
        base="quillmere",
        file=RULES,
        find='unit = "h"',
        put='unit = "min"',
        fails="safe",
        rule="require-none-before-7-days",
        where=REQUIRED,
        shows=lambda s: s.agent == CHG and s.may_be_younger_than(hours=168),
    ),
    Mutant(
        name="months-become-days",
        wrong="Gestation at birth stops to matter after two days.",
        base="quillmere",
        file=RULES,
        find='unit = "calendar-months"\n'
        'values = [{ from = 2024-01-01, value = 2, source = "quillmere-reading" }]',
        put='unit = "calendar-days"\n'
        'values = [{ from = 2024-01-01, value = 2, source = "quillmere-reading" }]',
        fails="safe",
        rule="require-none-before-28-weeks",
        where=REQUIRED,
        shows=lambda s: s.agent == CHG and s.may_be_born_before(weeks(28)),
    ),
    Mutant(
        name="months-become-years",
        wrong="Under two years, not two months, no chlorhexidine dressing and no wait.",
        base="quillmere",
        file=RULES,
        find='unit = "calendar-months"\n'
        'values = [{ from = 2024-01-01, value = 2, source = "quillmere-reading" }]',
        put='unit = "calendar-years"\n'
        'values = [{ from = 2024-01-01, value = 2, source = "quillmere-reading" }]',
        fails="safe",
        rule="require-chlorhexidine-otherwise",
        where=REQUIRED,
        shows=lambda s: s.agent == IODINE and s.may_be_as_old_as(months=2),
    ),
    Mutant(
        name="days-of-film-become-months",
        wrong="A clear film may stay seven months.",
        base="quillmere",
        file="dressing.toml",
        find='without chlorhexidine"\nunit = "calendar-days"',
        put='without chlorhexidine"\nunit = "calendar-months"',
        fails="safe",
        rule="require-film-stay",
        where="published/requirements.toml: require",
        shows=lambda s: (s.stays_h or 0) > 7 * 24 and s.dressing != "gauze",
    ),
    Mutant(
        name="days-of-gauze-become-weeks",
        wrong="Gauze may stay 14 days instead of 2.",
        base="uk-guideline",
        file="numbers.toml",
        find='value = 2, source = "CDC11"',
        put='value = 14, source = "CDC11"',
        fails="safe",
        rule="require-gauze-stay",
        where="published/requirements.toml: require",
        shows=lambda s: s.dressing == "gauze" and (s.stays_h or 0) > 48,
    ),
    Mutant(
        name="eight-weeks-for-two-months",
        wrong="56 days stand for two calendar months: some children are early.",
        base="us-guideline",
        file="published/limits.toml",
        find="[number.cdc11-chlorhexidine-age]\n"
        'means = "age below which CDC 2011 makes no recommendation on chlorhexidine"\n'
        'unit = "calendar-months"\nvalues = [{ from = 2024-01-01, value = 2,',
        put="[number.cdc11-chlorhexidine-age]\n"
        'means = "age below which CDC 2011 makes no recommendation on chlorhexidine"\n'
        'unit = "h"\nvalues = [{ from = 2024-01-01, value = 1344,',
        fails="safe",
        rule="require-no-answer-under-2-months",
        where="us-guideline/requirements.toml: require",
        shows=lambda s: (
            s.verdict == "plan"
            and s.may_be_younger_than(months=2)
            and s.may_be_as_old_as(hours=56 * 24)
        ),
    ),
    Mutant(
        name="grams-become-a-count",
        wrong="A mass is given as a count.",
        base="quillmere",
        file=RULES,
        find='means = "Mass from which chlorhexidine may be used"\nunit = "g"\nvalues',
        put='means = "Mass from which chlorhexidine may be used"\nunit = "count"\nvalues',
        fails=FAULTY,
        code="policy-wrong-unit",
    ),
    Mutant(
        name="grams-become-kilograms",
        wrong="A mass is given in a unit nobody knows.",
        base="quillmere",
        file=RULES,
        find='means = "Mass from which chlorhexidine may be used"\nunit = "g"\nvalues',
        put='means = "Mass from which chlorhexidine may be used"\nunit = "kg"\nvalues',
        fails=FAULTY,
        code="policy-unknown-word",
    ),
)

TURNED = (
    Mutant(
        name="mass-test-made-loose",
        wrong="A baby of exactly 1000 g is kept from chlorhexidine.",
        base="quillmere",
        file=RULES,
        find='mass = { below = "chg-mass" }',
        put='mass = { at_most = "chg-mass" }',
        fails="safe",
        rule="require-chlorhexidine-otherwise",
        where=REQUIRED,
        shows=lambda s: s.agent == IODINE and s.grams == 1000,
    ),
    Mutant(
        name="gestation-test-made-loose",
        wrong="A baby born at exactly 28 weeks is kept from chlorhexidine.",
        base="quillmere",
        file=RULES,
        find='gestation_at_birth = { below = "chg-gestation" }',
        put='gestation_at_birth = { at_most = "chg-gestation" }',
        fails="safe",
        rule="require-chlorhexidine-otherwise",
        where=REQUIRED,
        shows=lambda s: s.agent == IODINE and s.is_born_at(weeks(28)),
    ),
    Mutant(
        name="age-test-turned",
        wrong="Chlorhexidine is barred from seven days on instead of until then.",
        base="quillmere",
        file=RULES,
        find='when = [{ age = { below = "chg-age" } }]',
        put='when = [{ age = { at_least = "chg-age" } }]',
        fails="stable",
        rule="chg-age",
        where="quillmere/antisepsis.toml: exclude",
        shows=lambda s: (
            s.later is not None
            and s.agent == CHG
            and s.later.agent != CHG
            and s.later.may_be_as_old_as(hours=168)
        ),
    ),
    Mutant(
        name="mass-test-turned",
        wrong="Chlorhexidine is barred from 1000 g up.",
        base="quillmere",
        file=RULES,
        find='mass = { below = "chg-mass" }',
        put='mass = { at_least = "chg-mass" }',
        fails="safe",
        rule="require-none-under-1000-g",
        where=REQUIRED,
        shows=lambda s: s.agent == CHG and (s.grams or 0) < 1000,
    ),
    Mutant(
        name="british-gestation-test-made-loose",
        wrong="Born at exactly 34 weeks, in the first week: no chlorhexidine in alcohol.",
        base="uk-guideline",
        file="antiseptics.toml",
        find='when = [{ gestation_at_birth = { below = "nppg-gestation" }, age',
        put='when = [{ gestation_at_birth = { at_most = "nppg-gestation" }, age',
        fails="safe",
        rule="require-alcohol-from-34-weeks",
        where="uk-guideline/requirements.toml: require",
        shows=lambda s: s.agent != CHG and s.is_born_at(weeks(34)),
    ),
    Mutant(
        name="skin-test-turned",
        wrong="Whole skin is barred, and broken skin is scrubbed.",
        base="quillmere",
        file=RULES,
        find='lifts = "the skin at the site is charted as whole"\n'
        'when = [{ skin_at_site = { is = ["broken"] } }]',
        put='lifts = "the skin at the site is charted as whole"\n'
        'when = [{ skin_at_site = { is = ["intact"] } }]',
        fails="safe",
        rule="require-none-on-broken-skin",
        where=REQUIRED,
        shows=lambda s: s.agent == CHG and s.skin != "intact",
    ),
    Mutant(
        name="postmenstrual-for-gestation",
        wrong="Postmenstrual age stands where gestation at birth belongs.",
        base="quillmere",
        file=RULES,
        find='gestation_at_birth = { below = "chg-gestation" }',
        put='postmenstrual_age = { below = "chg-gestation" }',
        fails="safe",
        rule="require-none-before-28-weeks",
        where=REQUIRED,
        shows=lambda s: s.agent == CHG and s.may_be_born_before(weeks(28)),
    ),
    Mutant(
        name="site-instead-of-skin",
        wrong="The rule on broken skin asks for the groin instead.",
        base="quillmere",
        file=RULES,
        find='lifts = "the skin at the site is charted as whole"\n'
        'when = [{ skin_at_site = { is = ["broken"] } }]',
        put='when = [{ site = { is = ["femoral"] } }]',
        fails="safe",
        rule="require-none-on-broken-skin",
        where=REQUIRED,
        shows=lambda s: s.agent == CHG and s.skin != "intact" and s.site != "femoral",
    ),
)

MUTANTS = (*MOVED, *UNITS, *TURNED)
