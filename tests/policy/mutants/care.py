"""A floor broken, a removal step lost, a time or count too small."""

from __future__ import annotations

from tests.policy.mutants.mutant import (
    ALCOHOL,
    CHG,
    FAULTY,
    IODINE,
    WATER,
    Mutant,
)

RULES = "antisepsis.toml"
PUBLISHED = "published/requirements.toml: require"

FLOORS = (
    Mutant(
        name="dry-below-the-label",
        wrong="Chlorhexidine dries 20 s where the label asks for 30.",
        base="quillmere",
        file=RULES,
        find='value = 30, source = "label-CHG"',
        put='value = 20, source = "label-CHG"',
        fails=FAULTY,
        code="policy-below-floor",
    ),
    Mutant(
        name="two-swabs-of-chlorhexidine",
        wrong="Two swabs make 20 s of scrub.",
        base="quillmere",
        file=RULES,
        find='means = "Swabs for a chlorhexidine scrub"\nunit = "count"\n'
        "values = [{ from = 2024-01-01, value = 3,",
        put='means = "Swabs for a chlorhexidine scrub"\nunit = "count"\n'
        "values = [{ from = 2024-01-01, value = 2,",
        fails=FAULTY,
        code="policy-below-floor",
    ),
    Mutant(
        name="weak-chlorhexidine",
        wrong="Chlorhexidine of exactly 0.5 % is not above 0.5 %.",
        base="us-guideline",
        file="numbers.toml",
        find='unit = "percent"\nvalues = [{ from = 2024-01-01, value = 2,',
        put='unit = "percent"\nvalues = [{ from = 2024-01-01, value = 0.5,',
        fails=FAULTY,
        code="policy-below-floor",
    ),
    Mutant(
        name="groin-scrub-in-minutes",
        wrong="Two minutes at the groin are written as 2 seconds.",
        base="uk-guideline",
        file="numbers.toml",
        find='means = "least scrub on a moist site such as the groin; from a label"\n'
        'unit = "s"\nvalues = [{ from = 2024-01-01, value = 120,',
        put='means = "least scrub on a moist site such as the groin; from a label"\n'
        'unit = "s"\nvalues = [{ from = 2024-01-01, value = 2,',
        fails=FAULTY,
        code="policy-below-floor",
    ),
    Mutant(
        name="sets-changed-too-soon",
        wrong="Sets for plain fluids may be changed after 72 h.",
        base="us-guideline",
        file="numbers.toml",
        find='value = 96, source = "CDC11"',
        put='value = 72, source = "CDC11"',
        fails=FAULTY,
        code="policy-below-floor",
    ),
    Mutant(
        name="floor-taken-out-and-gone-under",
        wrong="The floor was removed with the drying: the label still asks for 30 s.",
        base="quillmere",
        file=RULES,
        find='dry = "chg-dry"\ndry_judgement',
        put='dry = { value = 15, unit = "s", from = 2024-01-01, '
        'source = "common-practice" }\ndry_judgement',
        fails="safe",
        rule="require-dry-site-scrub",
        where=PUBLISHED,
        shows=lambda s: s.agent == CHG and s.dry_s == 15,
    ),
)

TIMES = (
    Mutant(
        name="iodine-dries-too-short",
        wrong="Iodine dries 100 s: above the published floor, below the hospital's own.",
        base="quillmere",
        file=RULES,
        find='means = "Least drying of povidone-iodine"\nunit = "s"\n'
        "values = [{ from = 2024-01-01, value = 120,",
        put='means = "Least drying of povidone-iodine"\nunit = "s"\n'
        "values = [{ from = 2024-01-01, value = 100,",
        fails="safe",
        rule="require-iodine-two-minutes",
        where="quillmere/requirements.toml: require",
        says="dried for less than 120 s",
        shows=lambda s: s.agent == IODINE and s.dry_s == 100,
    ),
    Mutant(
        name="two-swabs-of-iodine",
        wrong="Two swabs of iodine instead of three.",
        base="quillmere",
        file=RULES,
        find='means = "Swabs of povidone-iodine"\nunit = "count"\n'
        "values = [{ from = 2024-01-01, value = 3,",
        put='means = "Swabs of povidone-iodine"\nunit = "count"\n'
        "values = [{ from = 2024-01-01, value = 2,",
        fails="safe",
        rule="require-iodine-two-minutes",
        where="quillmere/requirements.toml: require",
        says="fewer swabs",
        shows=lambda s: s.agent == IODINE and s.plan.antiseptic.swabs == 2,
    ),
    Mutant(
        name="iodine-with-the-time-of-chlorhexidine",
        wrong="Iodine takes the drying of chlorhexidine.",
        base="quillmere",
        file=RULES,
        find='dry = "pvi-dry"',
        put='dry = "chg-dry"',
        fails="safe",
        rule="require-iodine-dry",
        where=PUBLISHED,
        shows=lambda s: s.agent == IODINE and s.dry_s < 90,
    ),
    Mutant(
        name="scrub-and-dry-changed-places",
        wrong="At the groin the minute stands for the scrub and two for drying.",
        base="quillmere",
        file=RULES,
        find='scrub_at_least = "moist-scrub"\ndry_at_least = "moist-dry"',
        put='scrub_at_least = "moist-dry"\ndry_at_least = "moist-scrub"',
        fails="safe",
        rule="require-moist-site-times",
        where=PUBLISHED,
        shows=lambda s: s.site in ("femoral", None) and s.scrub_s == 60,
    ),
    Mutant(
        name="seconds-forgotten",
        wrong="No scrub time is named for chlorhexidine in alcohol.",
        base="us-guideline",
        file="antiseptics.toml",
        find='seconds_per_swab = "chg-seconds-per-swab"\n',
        put="",
        fails="safe",
        rule="require-dry-site-scrub",
        where=PUBLISHED,
        shows=lambda s: s.agent == CHG and s.scrub_s is None,
    ),
    Mutant(
        name="alcohol-rubbed-too-short",
        wrong="Three swabs of alcohol take 10 s each instead of 20.",
        base="us-guideline",
        file="numbers.toml",
        find='value = 20, source = "NovaScotia"',
        put='value = 10, source = "NovaScotia"',
        fails="safe",
        rule="require-alcohol-times",
        where=PUBLISHED,
        shows=lambda s: s.agent == ALCOHOL and s.scrub_s == 30,
    ),
)

RESIDUE = (
    Mutant(
        name="no-words-for-taking-it-off",
        wrong="Iodine must come off, and no step says so.",
        base="quillmere",
        file=RULES,
        find='residue_words = "When dry, take it off with sterile saline from the middle '
        "outward, never back, until the colour is gone; let the skin dry and look "
        'again."\n',
        put="",
        fails="safe",
        rule=IODINE,
        where=f"quillmere/antisepsis.toml: agent.{IODINE}",
        says="no step says so",
        shows=lambda s: (
            s.agent == IODINE
            and s.plan.antiseptic.residue_removed_with == "sterile-saline"
            and s.plan.antiseptic.residue_words is None
        ),
    ),
    Mutant(
        name="iodine-stays-on",
        wrong="Nothing takes iodine off the skin any more.",
        base="quillmere",
        file=RULES,
        find='residue_removed_with = "sterile-saline"\n',
        put="",
        fails="safe",
        rule="require-iodine-off",
        where="quillmere/requirements.toml: require",
        shows=lambda s: (
            s.agent == IODINE and s.plan.antiseptic.residue_removed_with is None
        ),
    ),
    Mutant(
        name="no-saline-laid-out",
        wrong="Saline is laid out for another agent than the one it takes off.",
        base="quillmere",
        file="kit.toml",
        find='item = "sterile-saline"\nlabel = "Sterile saline swabs"\n'
        'count = { value = 2, unit = "count", from = 2024-01-01, '
        'source = "common-practice" }\nwhen = [{ agent = '
        '{ is = ["povidone-iodine", "chlorhexidine-aqueous"] } }]',
        put='item = "sterile-saline"\nlabel = "Sterile saline swabs"\n'
        'count = { value = 2, unit = "count", from = 2024-01-01, '
        'source = "common-practice" }\n'
        'when = [{ agent = { is = ["chlorhexidine-alcohol"] } }]',
        fails="safe",
        rule=IODINE,
        where=f"quillmere/antisepsis.toml: agent.{IODINE}",
        says="none is laid out",
        shows=lambda s: s.agent == IODINE and "sterile-saline" not in s.laid_out,
    ),
    Mutant(
        name="taken-off-with-something-not-there",
        wrong="Chlorhexidine in water is taken off with saline, and only water is there.",
        base="uk-guideline",
        file="people.toml",
        drop="supply-sterile-water",
        fails="safe",
        rule=WATER,
        where=f"uk-guideline/antiseptics.toml: agent.{WATER}",
        says="none is laid out",
        shows=lambda s: s.agent == WATER and "sterile-water" not in s.laid_out,
    ),
    Mutant(
        name="saline-on-some-sites-only",
        wrong="Saline for iodine is laid out on the ward only.",
        base="quillmere",
        file="kit.toml",
        find='label = "Sterile saline swabs"\n'
        'count = { value = 2, unit = "count", from = 2024-01-01, '
        'source = "common-practice" }\nwhen = [{ agent = '
        '{ is = ["povidone-iodine", "chlorhexidine-aqueous"] } }]',
        put='label = "Sterile saline swabs"\n'
        'count = { value = 2, unit = "count", from = 2024-01-01, '
        'source = "common-practice" }\n'
        'when = [{ agent = { is = ["povidone-iodine"] }, unit = { is = ["ward"] } }]',
        fails="safe",
        rule=IODINE,
        where=f"quillmere/antisepsis.toml: agent.{IODINE}",
        says="none is laid out",
        shows=lambda s: (
            s.agent == IODINE
            and s.unit not in ("ward", None)
            and "sterile-saline" not in s.laid_out
        ),
    ),
)

MUTANTS = (*FLOORS, *TIMES, *RESIDUE)
