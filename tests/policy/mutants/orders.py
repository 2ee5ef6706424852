"""An order turned, a gap, an overlap, a shadow, a rule that never decides."""

from __future__ import annotations

from tests.policy.mutants.mutant import CHG, FILM, GAUZE, GEL, IODINE, Mutant

DRESSING = "dressing.toml"

ORDERS = (
    Mutant(
        name="iodine-first",
        wrong="Iodine stands before chlorhexidine.",
        base="quillmere",
        file="set.toml",
        find='["chlorhexidine-alcohol", "povidone-iodine"]',
        put='["povidone-iodine", "chlorhexidine-alcohol"]',
        fails="safe",
        rule="require-chlorhexidine-otherwise",
        where="quillmere/requirements.toml: require",
        shows=lambda s: s.agent == IODINE and s.may_be_as_old_as(hours=168),
    ),
    Mutant(
        name="alcohol-before-water",
        wrong="Chlorhexidine in alcohol comes before that in water, and loses its bar.",
        base="uk-guideline",
        file="antiseptics.toml",
        drop="no-alcohol-when-early-and-new",
        find='[[exclude]]\nid = "iodine-born-early"',
        put='[[exclude]]\nid = "water-never"\nbecause = "Alcohol first."\n'
        'source = "NPPG"\nhow = "found"\nbars = ["chlorhexidine-aqueous"]\n'
        'when = [{ mass = { at_least = "bnf-mass" } }]\n'
        '\n[[exclude]]\nid = "iodine-born-early"',
        fails="safe",
        rule="require-water-when-early-and-new",
        where="uk-guideline/requirements.toml: require",
        shows=lambda s: s.agent == CHG and s.may_be_younger_than(hours=168),
    ),
    Mutant(
        name="american-alcohol-before-iodine",
        wrong="Plain alcohol stands before chlorhexidine.",
        base="us-guideline",
        file="set.toml",
        find='["chlorhexidine-alcohol", "povidone-iodine", "alcohol-70"]',
        put='["alcohol-70", "chlorhexidine-alcohol", "povidone-iodine"]',
        fails="safe",
        rule="require-chlorhexidine-first",
        where="us-guideline/requirements.toml: require",
        shows=lambda s: s.agent == "alcohol-70" and s.may_be_as_old_as(months=2),
    ),
    Mutant(
        name="gauze-first",
        wrong="Gauze stands first, so no film is ever chosen.",
        base="quillmere",
        file="set.toml",
        find='  "transparent-chg-gel",\n  "transparent",\n  "gauze",\n',
        put='  "gauze",\n  "transparent-chg-gel",\n  "transparent",\n',
        fails="consistent",
        says="stands in the order",
        idle=(FILM, GEL),
    ),
    Mutant(
        name="plain-film-before-the-pad",
        wrong="Plain film stands before the pad, which is then never chosen.",
        base="us-guideline",
        file="set.toml",
        find='["transparent-chg-gel", "transparent", "gauze"]',
        put='["transparent", "transparent-chg-gel", "gauze"]',
        fails="safe",
        rule="require-pad-from-2-months",
        where="us-guideline/requirements.toml: require",
        shows=lambda s: s.dressing == FILM and s.may_be_as_old_as(months=12),
    ),
    Mutant(
        name="no-iodine-left",
        wrong="Iodine was taken out of the order: its rules decide for nobody.",
        base="quillmere",
        file="set.toml",
        find='["chlorhexidine-alcohol", "povidone-iodine"]',
        put='["chlorhexidine-alcohol"]',
        fails="consistent",
        rule="iodine-allergy",
        where="quillmere/antisepsis.toml: exclude",
        idle=("iodine-allergy",),
    ),
)

GAPS = (
    Mutant(
        name="no-dressing-for-blood",
        wrong="Gauze was taken out: a bleeding site gets no dressing.",
        base="quillmere",
        file="set.toml",
        find='  "transparent",\n  "gauze",\n',
        put='  "transparent",\n',
        fails="complete",
        rule="film-bleeding",
        where="quillmere/dressing.toml: exclude",
        shows=lambda s: s.verdict == "plan" and s.dressing is None,
    ),
    Mutant(
        name="british-no-dressing-for-blood",
        wrong="The British set has no gauze for a bleeding site.",
        base="uk-guideline",
        file="set.toml",
        find='["transparent", "gauze"]',
        put='["transparent"]',
        fails="complete",
        rule="bleeding-site",
        where="uk-guideline/intervals.toml: exclude",
        shows=lambda s: (
            s.verdict == "plan"
            and s.dressing is None
            and (s.bleeds or s.does_not_tolerate("adhesive"))
        ),
    ),
    Mutant(
        name="gauze-without-a-stay",
        wrong="No interval speaks of gauze.",
        base="quillmere",
        file=DRESSING,
        drop="dressing-gauze-stays",
        fails="complete",
        says="how long “gauze” may stay",
        shows=lambda s: s.dressing == GAUZE and s.stays_h is None,
    ),
    Mutant(
        name="gel-without-a-stay",
        wrong="The interval of films forgets the one with the gel pad.",
        base="us-guideline",
        file="intervals.toml",
        find='not_after = "dressing-transparent"\nwhen = [{ dressing = { is = '
        '["transparent", "transparent-chg-gel", "transparent-chg-disc"] } }]',
        put='not_after = "dressing-transparent"\nwhen = [{ dressing = { is = '
        '["transparent", "transparent-chg-disc"] } }]',
        fails="complete",
        says="gel pad” may stay",
        shows=lambda s: s.dressing == GEL and s.stays_h is None,
    ),
    Mutant(
        name="stay-only-on-the-ward",
        wrong="Film has a longest stay on a ward only.",
        base="uk-guideline",
        file="intervals.toml",
        find='when = [{ dressing = { is = ["transparent", "transparent-chg-gel", '
        '"transparent-chg-disc"] } }]',
        put='when = [{ dressing = { is = ["transparent", "transparent-chg-gel", '
        '"transparent-chg-disc"] }, unit = { is = ["ward"] } }]',
        fails="complete",
        says="clear film” may stay",
        shows=lambda s: (
            s.dressing == FILM and s.stays_h is None and s.unit not in ("ward", None)
        ),
    ),
)

OVERLAPS = (
    Mutant(
        name="two-stays-for-gauze",
        wrong="Two intervals speak of gauze, and neither has priority.",
        base="quillmere",
        file=DRESSING,
        find='dressing = { is = ["transparent", "transparent-chg-gel", '
        '"transparent-chg-disc"] }',
        put='dressing = { is = ["transparent", "transparent-chg-gel", '
        '"transparent-chg-disc", "gauze"] }',
        fails="complete",
        rule="dressing-gauze-stays",
        where="quillmere/dressing.toml: interval",
        says="Two intervals",
        shows=lambda s: s.plans_twice("dressing"),
    ),
    Mutant(
        name="newborn-interval-without-priority",
        wrong="The newborn interval lost its priority over that for everybody.",
        base="us-guideline",
        file="intervals.toml",
        find="priority = 2\n",
        put="",
        fails="complete",
        rule="film-newborn-intensive-care",
        where="us-guideline/intervals.toml: interval",
        says="Two intervals",
        shows=lambda s: s.plans_twice("dressing"),
    ),
    Mutant(
        name="blood-set-counted-twice",
        wrong="The lipid interval speaks of blood too.",
        base="us-guideline",
        file="intervals.toml",
        find='when = [{ set_kind = { is = ["lipid"] } }]',
        put='when = [{ set_kind = { is = ["lipid", "blood"] } }]',
        fails="complete",
        rule="blood-set",
        where="us-guideline/intervals.toml: interval",
        says="Two intervals",
        shows=lambda s: s.plans_twice("set"),
    ),
)

SHADOWS = (
    Mutant(
        name="hidden-by-a-broader-mass-rule",
        wrong="A rule for 750 g stands behind the one for 1000 g.",
        base="quillmere",
        file="antisepsis.toml",
        add='\n[[exclude]]\nid = "chg-very-small"\nbecause = "Very small."\n'
        'source = "common-practice"\nbars = ["chlorhexidine-alcohol"]\n'
        'when = [{ mass = { below = { value = 750, unit = "g", from = 2024-01-01, '
        'source = "common-practice" } } }]\n',
        fails="consistent",
        rule="chg-very-small",
        where="quillmere/antisepsis.toml: exclude",
        idle=("chg-very-small",),
    ),
    Mutant(
        name="age-rule-hidden-by-a-month",
        wrong="A new rule bars all of the first month, and hides that of the first week.",
        base="quillmere",
        file="antisepsis.toml",
        add='\n[[exclude]]\nid = "chg-first-month"\nbecause = "Very young."\n'
        'source = "common-practice"\nbars = ["chlorhexidine-alcohol", '
        '"transparent-chg-gel", "transparent-chg-disc", "chlorhexidine-bath"]\n'
        'when = [{ age = { below = { value = 720, unit = "h", from = 2024-01-01, '
        'source = "common-practice" } } }]\n',
        fails="consistent",
        rule="chg-age",
        where="quillmere/antisepsis.toml: exclude",
        idle=("chg-age",),
    ),
    Mutant(
        name="referral-that-never-holds",
        wrong="A referral asks for an age above one year and below 28 days.",
        base="uk-guideline",
        file="antiseptics.toml",
        find='when = [{ age = { at_least = "newborn-until", below = "first-birthday" } }]',
        put='when = [{ age = { at_least = "first-birthday", below = "newborn-until" } }]',
        fails="consistent",
        rule="between-newborn-and-one-year",
        where="uk-guideline/antiseptics.toml: refer",
    ),
    Mutant(
        name="referral-behind-a-bar",
        wrong="A referral for the doubly allergic, whom every agent is barred from anyway.",
        base="quillmere",
        file="antisepsis.toml",
        add='\n[[refer]]\nid = "doubly-allergic"\nbecause = "Tolerates neither."\n'
        'source = "quillmere-reading"\nwhen = [{ sensitivities = '
        '{ includes_all = ["chlorhexidine", "iodine"] } }]\n',
        fails="consistent",
        rule="doubly-allergic",
        where="quillmere/antisepsis.toml: refer",
    ),
    Mutant(
        name="interval-under-another",
        wrong="An interval of low priority speaks of the same gauze as one of high.",
        base="quillmere",
        file=DRESSING,
        add='\n[[interval]]\nid = "gauze-sooner"\nbecause = "Gauze on the ward."\n'
        'source = "CDC11"\nhow = "memory"\ntask = "dressing"\npriority = 1\n'
        'not_after = "dressing-gauze"\n'
        'when = [{ dressing = { is = ["gauze", "gauze-under-transparent", "bridge"] } '
        "}]\n",
        fails="consistent",
        rule="dressing-gauze-stays",
        where="quillmere/dressing.toml: interval",
        idle=("dressing-gauze-stays",),
    ),
    Mutant(
        name="a-bar-on-nothing-in-use",
        wrong="A rule bars an agent that the set does not use.",
        base="quillmere",
        file="antisepsis.toml",
        add='\n[[exclude]]\nid = "water-never"\nbecause = "Never."\n'
        'source = "common-practice"\nbars = ["chlorhexidine-aqueous"]\n',
        fails="consistent",
        rule="water-never",
        where="quillmere/antisepsis.toml: exclude",
        idle=("water-never",),
    ),
    Mutant(
        name="note-for-nobody",
        wrong="A caution speaks of an agent that is never planned.",
        base="quillmere",
        file="antisepsis.toml",
        find='{ agent = { is = ["povidone-iodine"] }, mass =',
        put='{ agent = { is = ["alcohol-70"] }, mass =',
        add='\n[[note]]\nid = "alcohol-dries-fast"\nbecause = "Alcohol dries fast."\n'
        'source = "CDC11"\nhow = "memory"\nwhen = [{ agent = { is = ["alcohol-70"] } }]\n',
        fails="consistent",
        rule="alcohol-dries-fast",
        where="quillmere/antisepsis.toml: note",
        idle=("alcohol-dries-fast",),
    ),
    Mutant(
        name="source-nobody-cites",
        wrong="A source is stated that no rule and no number rests on.",
        base="quillmere",
        file="antisepsis.toml",
        add='\n[source.forgotten]\ntitle = "A leaflet"\nbody = "Nobody"\nyear = 2020\n'
        'how = "memory"\n',
        fails="consistent",
        says="Source 'forgotten' is cited by no rule and no number.",
    ),
)

MUTANTS = (*ORDERS, *GAPS, *OVERLAPS, *SHADOWS)
