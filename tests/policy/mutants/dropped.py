"""What every set is held to, undone: emptied, taken out, narrowed, said twice."""

from __future__ import annotations

from tests.policy.mutants.mutant import CORE, FAULTY, GAUZE, IODINE, Mutant

DRESSING, RULES = "dressing.toml", "antisepsis.toml"
WATCH = "published/watch.toml"
LINE_OUT = """
[[concern]]
id = "line-out"
because = "The way into the vein stands open."
source = "common-practice"
label = "Line has come out"
signs = ["line-out"]
asks = "Press and call."
who = "charge-nurse"
act_within = "act-at-once"
settle_within = "settle-same-shift"
then = "educator"
"""


def emptied(id_: str, more: str = "") -> str:
    """Return a requirement of that id that asks for nothing, or for ``more``."""
    return (
        f'\n[[require]]\nid = "{id_}"\nbecause = "Ours."\n'
        f'source = "common-practice"\n{more}'
    )


def weeks(number: int) -> str:
    """Return a number of days, written in place."""
    return (
        f'{{ value = {number * 7}, unit = "calendar-days", from = 2024-01-01, '
        'source = "common-practice" }'
    )


EMPTIED = (
    Mutant(
        name="a-port-needle-for-a-month",
        wrong="A needle that sits in a port for a month ends in the blood.",
        base="quillmere",
        file=DRESSING,
        find='means = "Longest stay of a port needle in use"\nunit = "calendar-days"\n'
        "values = [{ from = 2024-01-01, value = 7,",
        put='means = "Longest stay of a port needle in use"\nunit = "calendar-days"\n'
        "values = [{ from = 2024-01-01, value = 30,",
        add=emptied("require-port-needle-stay"),
        fails="safe",
        rule="core:require-port-needle-stay",
        shows=lambda s: s.window("port-needle").not_after.nominal_hours() > 7 * 24,
    ),
    Mutant(
        name="gauze-for-a-week-as-we-say-ourselves",
        wrong="Gauze hides the site; after two days nobody knows what is under it.",
        base="quillmere",
        file=DRESSING,
        find='means = "Longest stay of gauze, also under a film"\n'
        'unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 2,',
        put='means = "Longest stay of gauze, also under a film"\n'
        'unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 7,',
        add=emptied("require-gauze-stay", f"stays_at_most = {weeks(1)}\n"),
        fails="safe",
        rule="core:require-gauze-stay",
        shows=lambda s: s.window("dressing", GAUZE).not_after.nominal_hours() > 48,
    ),
    Mutant(
        name="american-blood-set-for-two-days",
        wrong="Blood in a set for two days is a broth.",
        base="us-guideline",
        file="numbers.toml",
        find='means = "longest use of a blood set"\nunit = "h"\n'
        "values = [{ from = 2024-01-01, value = 24,",
        put='means = "longest use of a blood set"\nunit = "h"\n'
        "values = [{ from = 2024-01-01, value = 48,",
        add=emptied("require-lipid-and-blood-set-in-a-day"),
        fails="safe",
        rule="core:require-lipid-and-blood-set-in-a-day",
        shows=lambda s: s.window("set", "blood").not_after.nominal_hours() > 24,
    ),
    Mutant(
        name="connectors-for-a-month",
        wrong="A connector is handled fifty times a day; it does not last a month.",
        base="uk-guideline",
        file="numbers.toml",
        find='value = 7, source = "CDC11", how = "memory"',
        put='value = 30, source = "CDC11", how = "memory"',
        add=emptied("require-connectors-in-a-week"),
        fails="safe",
        rule="core:require-connectors-in-a-week",
        shows=lambda s: s.window("connector").not_after.nominal_hours() > 7 * 24,
    ),
    Mutant(
        name="alone-at-the-bed",
        wrong="One nurse cannot be sterile and hold the child at the same time.",
        base="us-guideline",
        file="numbers.toml",
        find='means = "people at the bedside for a dressing change"\nunit = "count"\n'
        "values = [{ from = 2024-01-01, value = 2,",
        put='means = "people at the bedside for a dressing change"\nunit = "count"\n'
        "values = [{ from = 2024-01-01, value = 1,",
        add=emptied("require-two-people"),
        fails="safe",
        rule="core:require-two-people",
        shows=lambda s: s.verdict == "plan",
    ),
    Mutant(
        name="a-bleeding-site-may-wait",
        wrong="Blood under a dressing is where germs grow: it is not left for the week.",
        base="uk-guideline",
        file="intervals.toml",
        drop="bleeding-under-dressing",
        add=emptied("require-bleeding-site-at-once"),
        fails="safe",
        rule="core:require-bleeding-site-at-once",
        shows=lambda s: s.bleeds,
    ),
    Mutant(
        name="iodine-stays-on-a-newborn",
        wrong="A newborn's thyroid takes up the iodine that stays on its skin.",
        base="quillmere",
        file=RULES,
        find='residue_removed_with = "sterile-saline"\n',
        put="",
        add=emptied("require-iodine-off-newborn"),
        fails="safe",
        rule="core:require-iodine-off-newborn",
        shows=lambda s: s.agent == IODINE and s.may_be_younger_than(hours=672),
    ),
    Mutant(
        name="nobody-looks-at-the-site-for-a-week",
        wrong="A site that is looked at once a week is found when it is green.",
        base="quillmere",
        file=DRESSING,
        find='means = "The site and its dressing are looked at this often"\n'
        'unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 1,',
        put='means = "The site and its dressing are looked at this often"\n'
        'unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 7,',
        add=emptied("require-daily-look", f"stays_at_most = {weeks(1)}\n"),
        fails="safe",
        rule="core:require-daily-look",
        shows=lambda s: s.window("site-check").not_after.nominal_hours() > 24,
    ),
    Mutant(
        name="iodine-dries-as-our-own-floor-says",
        wrong="A floor that one lowers oneself is no floor: iodine needs its time.",
        base="quillmere",
        file=RULES,
        find='means = "Least drying of povidone-iodine"\nunit = "s"\n'
        "values = [{ from = 2024-01-01, value = 120,",
        put='means = "Least drying of povidone-iodine"\nunit = "s"\n'
        "values = [{ from = 2024-01-01, value = 20,",
        add='\n[[floor]]\nid = "floor-pvi-dry"\nbecause = "{at_least}."\n'
        'source = "common-practice"\nnumber = "pvi-dry"\nat_least = { value = 10, '
        'unit = "s", from = 2024-01-01, source = "common-practice" }\n',
        fails=FAULTY,
        code="policy-below-floor",
    ),
    Mutant(
        name="a-hub-wiped-in-passing",
        wrong="Two seconds are a wipe; that it will be allowed in 2030 helps nobody now.",
        base="us-guideline",
        file="numbers.toml",
        find='means = "least friction on a hub"\nunit = "s"\n'
        "values = [{ from = 2024-01-01, value = 5,",
        put='means = "least friction on a hub"\nunit = "s"\n'
        "values = [{ from = 2024-01-01, value = 2,",
        add='\n[[floor]]\nid = "floor-hub-scrub"\nbecause = "{at_least}."\n'
        'source = "common-practice"\nnumber = "hub-scrub"\nat_least = "hub-least"\n'
        '[number.hub-least]\nmeans = "least"\nunit = "s"\nvalues = [\n'
        '{ from = 2024-01-01, value = 5, source = "common-practice" },\n'
        '{ from = 2030-01-01, value = 1, source = "common-practice" }]\n',
        fails=FAULTY,
        code="policy-below-floor",
    ),
)
TAKEN_OUT = (
    Mutant(
        name="the-needle-s-requirement-taken-out",
        wrong="Whoever takes a rule out says why; nobody did.",
        base="quillmere",
        file="set.toml",
        find='remove = ["visual-phlebitis"]',
        put='remove = ["visual-phlebitis", "require-port-needle-stay"]',
        fails=CORE,
        rule="require-port-needle-stay",
        says="taken out",
    ),
    Mutant(
        name="the-floor-of-drying-taken-out",
        wrong="Drying has a floor on the label; it does not go by a word in a list.",
        base="uk-guideline",
        file="set.toml",
        find='version = "2026.1"',
        put='version = "2026.1"\nremove = ["floor-chg-dry"]',
        fails=CORE,
        rule="floor-chg-dry",
        says="taken out",
    ),
    Mutant(
        name="nobody-is-called-for-a-port-in-trouble",
        wrong="A port that swells while something runs in is nobody's business any more.",
        base="us-guideline",
        file="set.toml",
        find='version = "2026.1"',
        put='version = "2026.1"\nremove = ["port-trouble"]',
        fails=CORE,
        rule="port-trouble",
        says="taken out",
    ),
    Mutant(
        name="a-line-that-is-out-may-be-used",
        wrong="A line that has come out lies in the tissue; nothing may run through it.",
        base="quillmere",
        file=DRESSING,
        add=LINE_OUT,
        fails=CORE,
        rule="line-out",
        says="the line is not used until",
    ),
    Mutant(
        name="only-arms-may-have-lines-that-come-out",
        wrong="A line in the neck comes out too, and bleeds more.",
        base="uk-guideline",
        file="intervals.toml",
        add=LINE_OUT.replace(
            'who = "charge-nurse"',
            'hold = "the prescriber has seen the child"\nwho = "charge-nurse"',
        )
        + 'when = [{ site = { is = ["upper-arm"] } }]\n',
        fails=CORE,
        rule="line-out",
        says="when nothing → site is upper-arm",
    ),
    Mutant(
        name="pus-calls-nobody",
        wrong="Pus at a central line is the one thing that must never be charted alone.",
        base="us-guideline",
        file=WATCH,
        find='signs = ["discharge"]',
        put='signs = ["fever"]',
        fails=CORE,
        rule="pus",
        says="discharge",
    ),
    Mutant(
        name="a-swollen-arm-and-it-still-runs",
        wrong="What runs into a swollen arm runs beside the vein.",
        base="uk-guideline",
        file=WATCH,
        find='hold = "imaging has shown where the tip lies and that the vein is open"\n',
        put="",
        fails=CORE,
        rule="limb-swollen",
        says="the line is not used until",
    ),
    Mutant(
        name="a-broken-line-may-be-used",
        wrong="Through a broken line air goes in and blood comes out.",
        base="us-guideline",
        file=WATCH,
        find='hold = "it has been mended by somebody signed off for it, or taken out"\n',
        put="",
        fails=CORE,
        rule="line-broken",
        says="the line is not used until",
    ),
)
TWICE = (
    Mutant(
        name="the-weight-limit-stands-in-two-files",
        wrong="1000 g in one file, 100 g in the other: nobody knows which holds tonight.",
        base="quillmere",
        file="people.toml",
        add='\n[number.chg-mass]\nmeans = "Mass"\nunit = "g"\n'
        'values = [{ from = 2024-01-01, value = 100, source = "common-practice" }]\n',
        fails=FAULTY,
        code="policy-same-id",
    ),
    Mutant(
        name="a-source-stands-for-two-papers",
        wrong="Two papers under one name: nobody can look up which one said it.",
        base="quillmere",
        file="kit.toml",
        add='\n[source.film-change-text]\ntitle = "Another"\nbody = "Another"\n'
        'how = "found"\n',
        fails=FAULTY,
        code="policy-same-id",
    ),
    Mutant(
        name="iodine-described-twice",
        wrong="Two descriptions of iodine: one dries a tenth of the other.",
        base="uk-guideline",
        file="people.toml",
        add='\n[agent.povidone-iodine]\nlabel = "Iodine"\nbecause = "Ours."\n'
        'source = "common-practice"\ncontains = ["iodine"]\nswabs = "pvi-swabs"\n'
        'dry = "pvi-dry"\ndry_judgement = "Dry."\nmotion = "back-and-forth"\n'
        'motion_words = "As it comes."\narea_low = "chg-area-low"\n'
        'area_high = "chg-area-high"\n',
        fails=FAULTY,
        code="policy-same-id",
    ),
    Mutant(
        name="a-rule-stands-in-two-files",
        wrong="Gauze is ruled on twice, and the second file has the say.",
        base="us-guideline",
        file="people.toml",
        add='\n[[interval]]\nid = "gauze-2-days"\nbecause = "Ours."\n'
        'source = "common-practice"\ntask = "dressing"\n'
        'not_after = "dressing-transparent"\n'
        'when = [{ dressing = { is = ["gauze"] } }]\n',
        fails=FAULTY,
        code="policy-same-id",
    ),
    Mutant(
        name="a-number-hides-in-another-rule",
        wrong="The number of a requirement is written anew from outside, and moves it.",
        base="quillmere",
        file=DRESSING,
        add='\n[number."require-gauze-stay.stays_at_most"]\nmeans = "stay"\n'
        'unit = "calendar-days"\n'
        'values = [{ from = 2024-01-01, value = 9, source = "common-practice" }]\n',
        fails=FAULTY,
        code="policy-number-of-a-rule",
    ),
    Mutant(
        name="a-stay-borrowed-from-a-requirement",
        wrong="A rule that takes its number from what checks it is never found wrong.",
        base="uk-guideline",
        file="intervals.toml",
        find='because = "A clear film stays {dressing-transparent} at most."\n'
        'source = "epic3"\nhow = "memory"\ntask = "dressing"\n'
        'not_after = "dressing-transparent"',
        put='because = "A clear film stays {not_after} at most."\n'
        'source = "epic3"\nhow = "memory"\ntask = "dressing"\n'
        'not_after = "require-film-stay.stays_at_most"',
        fails=FAULTY,
        code="policy-number-of-another-rule",
    ),
    Mutant(
        name="loosened-without-a-reason",
        wrong="That a rule does not hold here is said; why, nobody says.",
        base="quillmere",
        file=DRESSING,
        add='\n[[loosened]]\nid = "require-port-needle-stay"\n'
        'source = "common-practice"\n',
        fails=FAULTY,
        code="policy-missing",
    ),
    Mutant(
        name="loosened-what-there-is-not",
        wrong="A slip of the pen, and the rule that was meant still holds.",
        base="us-guideline",
        file="people.toml",
        add='\n[[loosened]]\nid = "require-port-needel-stay"\nbecause = "Ours last."\n'
        'source = "common-practice"\n',
        fails=FAULTY,
        code="policy-loosens-nothing",
    ),
)

MUTANTS = (*EMPTIED, *TAKEN_OUT, *TWICE)
