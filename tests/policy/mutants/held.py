"""What only a requirement notices: the rules alone hang together, but are wrong."""

from __future__ import annotations

from tests.policy.mutants.mutant import CHG, FAULTY, FILM, GAUZE, GEL, Mutant

NEWBORN_UNIT = "newborn-intensive-care"

MUTANTS = (
    Mutant(
        name="american-broken-skin",
        wrong="The American set scrubs broken skin.",
        base="us-guideline",
        file="antiseptics.toml",
        drop="broken-skin",
        fails="safe",
        rule="require-broken-skin-referred",
        where="us-guideline/requirements.toml: require",
        shows=lambda s: s.verdict != "stop" and s.skin == "broken",
    ),
    Mutant(
        name="british-broken-skin",
        wrong="The British set scrubs broken skin.",
        base="uk-guideline",
        file="antiseptics.toml",
        drop="broken-skin",
        fails="safe",
        rule="require-no-answer-on-broken-skin",
        where="uk-guideline/requirements.toml: require",
        shows=lambda s: s.verdict != "stop" and s.skin == "broken",
    ),
    Mutant(
        name="american-pad-in-newborn-intensive-care",
        wrong="The pad is chosen in newborn intensive care too.",
        base="us-guideline",
        file="dressings.toml",
        drop="impregnated-newborn-intensive-care",
        fails="safe",
        rule="require-no-pad-in-newborn-intensive-care",
        where="us-guideline/requirements.toml: require",
        shows=lambda s: s.dressing == GEL and s.unit in (None, NEWBORN_UNIT),
    ),
    Mutant(
        name="american-clock-in-newborn-intensive-care",
        wrong="A clock of 7 days runs in newborn intensive care.",
        base="us-guideline",
        file="intervals.toml",
        drop="film-newborn-intensive-care",
        fails="safe",
        rule="require-no-clock-in-newborn-intensive-care",
        where="us-guideline/requirements.toml: require",
        shows=lambda s: s.stays_h is not None and s.unit == NEWBORN_UNIT,
    ),
    Mutant(
        name="american-pad-at-six-months",
        wrong="The pad comes at six months instead of two.",
        base="us-guideline",
        file="published/limits.toml",
        find='essential practice"\nunit = "calendar-months"\n'
        'values = [{ from = 2024-01-01, value = 2, source = "SHEA22", how = "memory" }]'
        "\n\n[number.shea22-bath-age]",
        put='essential practice"\nunit = "calendar-months"\n'
        'values = [{ from = 2024-01-01, value = 6, source = "SHEA22", how = "memory" }]'
        "\n\n[number.shea22-bath-age]",
        fails="safe",
        rule="require-pad-from-2-months-elsewhere",
        where="us-guideline/requirements.toml: require",
        shows=lambda s: s.dressing == FILM and s.may_be_as_old_as(months=2),
    ),
    Mutant(
        name="pad-limit-up",
        wrong="A chlorhexidine dressing waits until four months.",
        base="quillmere",
        file="antisepsis.toml",
        find='value = 2, source = "SHEA22", how = "memory" }]',
        put='value = 4, source = "SHEA22", how = "memory" }]',
        fails="safe",
        rule="require-pad-from-2-months",
        where="quillmere/requirements.toml: require",
        shows=lambda s: s.dressing == FILM and s.may_be_as_old_as(months=2),
    ),
    Mutant(
        name="british-answer-between-newborn-and-one-year",
        wrong="Children between 28 days and one year get an answer no document gives.",
        base="uk-guideline",
        file="antiseptics.toml",
        drop="between-newborn-and-one-year",
        fails="safe",
        rule="require-no-answer-between-newborn-and-one-year",
        where="uk-guideline/requirements.toml: require",
        shows=lambda s: s.verdict != "stop" and s.may_be_as_old_as(hours=672),
    ),
    Mutant(
        name="film-on-broken-skin",
        wrong="Broken skin is covered with film.",
        base="quillmere",
        file="dressing.toml",
        drop="film-broken-skin",
        fails="safe",
        rule="require-gauze-on-broken-skin",
        where="quillmere/requirements.toml: require",
        shows=lambda s: s.dressing == FILM and s.skin != "intact",
    ),
    Mutant(
        name="gauze-for-two-hours",
        wrong="Gauze stays two hours instead of two days.",
        base="quillmere",
        file="dressing.toml",
        find='also under a film"\nunit = "calendar-days"',
        put='also under a film"\nunit = "h"',
        fails="safe",
        rule="require-gauze-not-sooner",
        where="published/requirements.toml: require",
        shows=lambda s: s.dressing == GAUZE and s.stays_h == 2,
    ),
    Mutant(
        name="mass-limit-falls-in-june",
        wrong="From June 2026 chlorhexidine is allowed from 500 g.",
        base="quillmere",
        file="antisepsis.toml",
        find='value = 1000, source = "common-practice" }]',
        put='value = 1000, source = "common-practice" }, '
        '{ from = 2026-06-01, value = 500, source = "common-practice" }]',
        fails="safe",
        rule="require-none-under-1000-g",
        where="quillmere/requirements.toml: require",
        shows=lambda s: s.agent == CHG and (s.grams or 0) < 1000,
    ),
    Mutant(
        name="heavy-children-lose-it",
        wrong="Above 20 kg chlorhexidine is barred.",
        base="us-guideline",
        file="antiseptics.toml",
        add='\n[[exclude]]\nid = "too-heavy"\nbecause = "Too heavy."\n'
        'source = "common-practice"\nbars = ["chlorhexidine-alcohol"]\n'
        'when = [{ mass = { above = { value = 20000, unit = "g", from = 2024-01-01, '
        'source = "common-practice" } } }]\n',
        fails="stable",
        rule="too-heavy",
        where="us-guideline/antiseptics.toml: exclude",
        shows=lambda s: (
            s.later is not None
            and s.agent == CHG
            and s.later.agent != CHG
            and (s.later.grams or 0) > 20_000
        ),
    ),
    Mutant(
        name="one-person",
        wrong="One person changes the dressing alone.",
        base="quillmere",
        file="people.toml",
        find="value = 2,",
        put="value = 1,",
        fails="safe",
        rule="require-two-people",
        where="published/requirements.toml: require",
        shows=lambda s: s.plan.staff == 1,
    ),
    Mutant(
        name="alcohol-of-seven-percent",
        wrong="Alcohol of 7 % instead of 70.",
        base="us-guideline",
        file="numbers.toml",
        find='value = 70, source = "CDC11"',
        put='value = 7, source = "CDC11"',
        fails=FAULTY,
        code="policy-below-floor",
    ),
    Mutant(
        name="widths-changed-places",
        wrong="The least width of scrubbed skin is above the greatest.",
        base="quillmere",
        file="antisepsis.toml",
        find='area_low = "chg-area-low"\narea_high = "chg-area-high"\n\n[agent.povidone',
        put='area_low = "chg-area-high"\narea_high = "chg-area-low"\n\n[agent.povidone',
        fails=FAULTY,
        code="policy-turned-round",
    ),
    Mutant(
        name="window-closed-before-it-opens",
        wrong="Sets may be changed from 200 h on, and must be by 7 days.",
        base="quillmere",
        file="dressing.toml",
        find='means = "Sets for plain fluids are not changed more often than this"\n'
        'unit = "h"\nvalues = [{ from = 2024-01-01, value = 96',
        put='means = "Sets for plain fluids are not changed more often than this"\n'
        'unit = "h"\nvalues = [{ from = 2024-01-01, value = 200',
        fails=FAULTY,
        code="policy-turned-round",
    ),
    Mutant(
        name="gauze-not-before-its-end",
        wrong="Gauze is not changed before 7 days, and must be by 2.",
        base="quillmere",
        file="dressing.toml",
        find='task = "dressing"\nnot_after = "dressing-gauze"',
        put='task = "dressing"\nnot_before = "dressing-transparent"\n'
        'not_after = "dressing-gauze"',
        fails=FAULTY,
        code="policy-turned-round",
    ),
    Mutant(
        name="lipid-set-for-three-days",
        wrong="A lipid set hangs 72 h instead of 24.",
        base="us-guideline",
        file="numbers.toml",
        find='means = "longest use of a lipid set, from its start"\nunit = "h"\n'
        "values = [{ from = 2024-01-01, value = 24",
        put='means = "longest use of a lipid set, from its start"\nunit = "h"\n'
        "values = [{ from = 2024-01-01, value = 72",
        fails="safe",
        rule="require-lipid-and-blood-set-in-a-day",
        where="published/requirements.toml: require",
        shows=lambda s: s.window("set", "lipid").not_after.nominal_hours() > 24,
    ),
    Mutant(
        name="british-lipid-set-for-ten-days",
        wrong="A lipid set hangs 240 h instead of 24.",
        base="uk-guideline",
        file="numbers.toml",
        find='unit = "h"\nvalues = [{ from = 2024-01-01, value = 24, source = "CDC11"',
        put='unit = "h"\nvalues = [{ from = 2024-01-01, value = 240, source = "CDC11"',
        fails="safe",
        rule="require-lipid-and-blood-set-in-a-day",
        where="published/requirements.toml: require",
        shows=lambda s: s.window("set", "lipid").not_after.nominal_hours() > 24,
    ),
    Mutant(
        name="the-site-is-looked-at-when-somebody-finds-something",
        wrong="No clock runs for the look at the site: it waits for what only it finds.",
        base="us-guideline",
        file="intervals.toml",
        find='because = "The site is looked at {site-check:every}, or more often."\n'
        'source = "INS21"\nhow = "memory"\ntask = "site-check"\n'
        'not_after = "site-check"\n',
        put='because = "The site is looked at when something is found."\n'
        'source = "INS21"\nhow = "memory"\ntask = "site-check"\n',
        fails="safe",
        rule="require-daily-look",
        where="published/requirements.toml: require",
        shows=lambda s: s.window("site-check").not_after is None,
    ),
    Mutant(
        name="connectors-for-ten-weeks",
        wrong="Connectors stay 70 days instead of 7.",
        base="quillmere",
        file="dressing.toml",
        find='means = "Needleless connectors are changed by then, with the set"\n'
        'unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 7,',
        put='means = "Needleless connectors are changed by then, with the set"\n'
        'unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 70,',
        fails="safe",
        rule="require-connectors-in-a-week",
        where="published/requirements.toml: require",
        shows=lambda s: s.window("connector").not_after.nominal_hours() > 7 * 24,
    ),
    Mutant(
        name="umbilical-line-for-twenty-weeks",
        wrong="The house keeps an umbilical venous line 140 days instead of 14.",
        base="quillmere",
        file="dressing.toml",
        find="value = 14,",
        put="value = 140,",
        fails="safe",
        rule="require-umbilical-venous-stay",
        where="published/requirements.toml: require",
        shows=lambda s: s.window("line-stay").not_after.nominal_hours() > 14 * 24,
    ),
    Mutant(
        name="british-blood-set-for-two-days",
        wrong="A blood set hangs 48 h instead of 12.",
        base="uk-guideline",
        file="numbers.toml",
        find='value = 12, source = "epic3"',
        put='value = 48, source = "epic3"',
        fails="safe",
        rule="require-blood-set-in-half-a-day",
        where="uk-guideline/requirements.toml: require",
        shows=lambda s: s.window("set", "blood").not_after.nominal_hours() > 12,
    ),
    Mutant(
        name="umbilical-line-for-forty-days",
        wrong="An umbilical venous line stays 40 days instead of 14.",
        base="us-guideline",
        file="numbers.toml",
        find="value = 14,",
        put="value = 40,",
        fails="safe",
        rule="require-umbilical-venous-stay",
        where="published/requirements.toml: require",
        shows=lambda s: s.window("line-stay").not_after.nominal_hours() > 14 * 24,
    ),
    Mutant(
        name="nobody-asks-for-the-line",
        wrong="Nobody asks every day whether the line is still needed.",
        base="quillmere",
        file="dressing.toml",
        drop="line-review-daily",
        fails="safe",
        rule="require-daily-review",
        where="published/requirements.toml: require",
        shows=lambda s: s.window("line-review") is None,
    ),
    Mutant(
        name="loose-dressing-waits",
        wrong="A dressing that is damp, loose or soiled waits for its day.",
        base="quillmere",
        file="dressing.toml",
        drop="dressing-fails",
        fails="safe",
        rule="require-failed-dressing-at-once",
        where="published/requirements.toml: require",
        shows=lambda s: (
            not any(rule.id == "dressing-fails" for rule in s.policy.at_once)
        ),
    ),
    Mutant(
        name="allergy-leaves-the-bath",
        wrong="A child allergic to chlorhexidine may still be bathed in it.",
        base="quillmere",
        file="antisepsis.toml",
        find='id = "chg-allergy"\nbecause = "Allergic to chlorhexidine: no scrub, '
        'no dressing and no bath with it."\nsource = "common-practice"\n'
        'bars = ["chlorhexidine-alcohol", "transparent-chg-gel", '
        '"transparent-chg-disc", "chlorhexidine-bath"]',
        put='id = "chg-allergy"\nbecause = "Allergic to chlorhexidine: no scrub, '
        'no dressing and no bath with it."\nsource = "common-practice"\n'
        'bars = ["chlorhexidine-alcohol", "transparent-chg-gel", '
        '"transparent-chg-disc"]',
        fails="safe",
        says="chlorhexidine-bath",
        shows=lambda s: (
            s.does_not_tolerate("chlorhexidine")
            and "chlorhexidine-bath" not in {e.item for e in s.plan.not_for_this_child}
        ),
    ),
    Mutant(
        name="bleeding-waits",
        wrong="A bleeding site waits for its day.",
        base="quillmere",
        file="dressing.toml",
        drop="dressing-bleeds",
        fails="safe",
        rule="require-bleeding-site-at-once",
        where="published/requirements.toml: require",
        shows=lambda s: not any(r.id == "dressing-bleeds" for r in s.policy.at_once),
    ),
    Mutant(
        name="mass-limit-starts-next-year",
        wrong="Until 2027 there is no mass limit, and so no answer.",
        base="quillmere",
        file="antisepsis.toml",
        find='values = [{ from = 2024-01-01, value = 1000, source = "common-practice" }]',
        put='values = [{ from = 2027-01-01, value = 1000, source = "common-practice" }]',
        fails="complete",
        says="'chg-mass' has no value",
    ),
)
