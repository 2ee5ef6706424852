"""What no number shows: left unsaid, seen by nobody, in the wrong order, or of no use."""

from __future__ import annotations

from tests.policy.mutants.mutant import CORE, Mutant

CHILD, WATCH = "published/child.toml", "published/watch.toml"
RULES, AGENTS = "antisepsis.toml", "antiseptics.toml"

UNSAID = (
    Mutant(
        name="chlorhexidine-of-any-strength",
        wrong="Chlorhexidine comes at 0.05 and at 20 %; the list does not say which.",
        base="us-guideline",
        file=AGENTS,
        find='strength = "chg-alcohol-strength"\n',
        put="",
        fails=CORE,
        rule="chlorhexidine-alcohol",
        says="how strong",
    ),
    Mutant(
        name="chlorhexidine-that-holds-no-chlorhexidine",
        wrong="A bottle of chlorhexidine holds chlorhexidine, whoever writes the list.",
        base="us-guideline",
        file=AGENTS,
        find='contains = ["chlorhexidine", "alcohol"]',
        put='contains = ["alcohol"]',
        fails=CORE,
        rule="chlorhexidine-alcohol",
        says="chlorhexidine",
    ),
    Mutant(
        name="iodine-that-holds-nothing-of-it",
        wrong="Whoever is allergic to iodine reads that there is none in it.",
        base="quillmere",
        file=RULES,
        find='contains = ["iodine"]',
        put='contains = ["alcohol"]',
        fails=CORE,
        rule="povidone-iodine",
        says="iodine",
    ),
    Mutant(
        name="nobody-assists",
        wrong="Two people, and only one of them has anything to do.",
        base="uk-guideline",
        file="people.toml",
        find='  { id = "assistant", label = "Assistant", does = "Opens packs, holds child and '
        'line, guards the field, keeps the clock and writes down.", gloves = "clean; a '
        'sterile pair lies ready" },\n',
        put="",
        fails=CORE,
        rule="two-people",
        says="assistant",
    ),
    Mutant(
        name="only-lines-that-go-in-are-seen",
        wrong="A line that creeps out is what one measures for.",
        base="quillmere",
        file=WATCH,
        find='direction = "either"',
        put='direction = "inward"',
        fails=CORE,
        rule="length-change",
        says="outward",
    ),
    Mutant(
        name="nobody-says-how-much-is-a-move",
        wrong="Lengths are charted for years, and none of them ever raises a hand.",
        base="us-guideline",
        file="set.toml",
        find='version = "2026.1"',
        put='version = "2026.1"\nremove = ["length-change"]',
        fails=CORE,
        rule="",
        says="outward",
    ),
)
UNSEEN = (
    Mutant(
        name="an-allergy-that-is-seen-by-looking",
        wrong="Nobody sees by looking at the site what a child is allergic to.",
        base="quillmere",
        file="published/materials.toml",
        find='bars = ["transparent-chg-gel"]\n',
        put='bars = ["transparent-chg-gel"]\nif_unknown = "look"\n',
        fails=CORE,
        rule="gel-sensitivity",
        says="looking",
    ),
    Mutant(
        name="a-weight-that-is-seen-by-looking",
        wrong="Nobody sees at the site whether a baby weighs 1400 or 1600 g.",
        base="quillmere",
        file=RULES,
        find='bars = ["transparent-chg-gel", "transparent-chg-disc"]\n'
        'when = [{ mass = { below = "chg-pad-mass" } }]',
        put='bars = ["transparent-chg-gel", "transparent-chg-disc"]\n'
        'if_unknown = "look"\nwhen = [{ mass = { below = "chg-pad-mass" } }]',
        fails=CORE,
        rule="chg-pad-small",
        says="looking",
    ),
    Mutant(
        name="an-age-that-is-seen-by-looking",
        wrong="Two months and one month look alike under a drape.",
        base="us-guideline",
        file="dressings.toml",
        find='bars = ["transparent-chg-gel", "transparent-chg-disc"]\n'
        'when = [{ age = { below = "shea22-dressing-age" } }]',
        put='bars = ["transparent-chg-gel", "transparent-chg-disc"]\n'
        'if_unknown = "look"\nwhen = [{ age = { below = "shea22-dressing-age" } }]',
        fails=CORE,
        rule="impregnated-under-2-months",
        says="looking",
    ),
    Mutant(
        name="fluid-in-the-tissue-from-the-last-grade",
        wrong="Somebody is called when half the limb is swollen, and the skin is lost.",
        base="uk-guideline",
        file=WATCH,
        find='scale = "infiltration"\ngrade_at_least = { value = 1,',
        put='scale = "infiltration"\ngrade_at_least = { value = 4,',
        fails=CORE,
        rule="sane-grade-of-infiltration",
    ),
)
TURNED = (
    Mutant(
        name="press-longer-than-the-longest",
        wrong="Twenty minutes at the least, and ten at the most: nobody can.",
        base="quillmere",
        file=WATCH,
        find='means = "least time of pressing on the site of a line that has come out"\n'
        'unit = "min"\nvalues = [{ from = 2024-01-01, value = 5,',
        put='means = "least time of pressing on the site of a line that has come out"\n'
        'unit = "min"\nvalues = [{ from = 2024-01-01, value = 20,',
        fails=CORE,
        rule="",
        says="press-least",
    ),
    Mutant(
        name="settled-before-anybody-comes",
        wrong="It is settled in half an hour, and somebody looks at it within one.",
        base="us-guideline",
        file=WATCH,
        find='means = "what cannot wait is settled within this time of being taken on"\n'
        'unit = "h"\nvalues = [{ from = 2024-01-01, value = 8,',
        put='means = "what cannot wait is settled within this time of being taken on"\n'
        'unit = "min"\nvalues = [{ from = 2024-01-01, value = 20,',
        fails=CORE,
        rule="line-moved",
        says="settled",
    ),
    Mutant(
        name="a-weighing-asked-for-after-it-has-lapsed",
        wrong="The new weight is asked for a week after the old one has stopped counting.",
        base="uk-guideline",
        file=CHILD,
        find='asks_after = "weighing-newborn"',
        put='numbers = ["weighing-newborn"]\nasks_after = "weighing-infant"',
        fails=CORE,
        rule="weighing-of-the-first-days",
        says="asked for",
    ),
    Mutant(
        name="clean-more-at-the-least-than-at-the-most",
        wrong="At least nine centimetres and at most five: the two were exchanged.",
        base="quillmere",
        file=CHILD,
        find='area_low = "film-small-area-low"\narea_high = "film-small-area-high"',
        put='area_low = "film-small-area-high"\narea_high = "film-small-area-low"',
        fails=CORE,
        rule="film-small",
        says="skin",
    ),
    Mutant(
        name="film-larger-than-the-skin-that-is-cleaned",
        wrong="The film sticks on two centimetres of skin that nobody cleaned.",
        base="us-guideline",
        file=CHILD,
        find='means = "greatest width of skin cleaned for the film of a child of school '
        'age"\nunit = "mm"\nvalues = [{ from = 2024-01-01, value = 110,',
        put='means = "greatest width of skin cleaned for the film of a child of school '
        'age"\nunit = "mm"\nvalues = [{ from = 2024-01-01, value = 90,',
        fails=CORE,
        rule="film-large",
        says="cleaned",
    ),
    Mutant(
        name="no-film-for-a-school-child",
        wrong="From six years on nobody says which film to take.",
        base="quillmere",
        file=CHILD,
        drop="film-large",
        fails="complete",
        says="film",
    ),
)
MOVED = (
    Mutant(
        name="iodine-rubbed-back-and-forth",
        wrong="Iodine is painted outward: back and forth brings the edge to the middle.",
        base="us-guideline",
        file=AGENTS,
        find='motion = "outward-circles"',
        put='motion = "back-and-forth"',
        fails=CORE,
        rule="povidone-iodine",
        says="motion outward-circles → back-and-forth",
    ),
    Mutant(
        name="chlorhexidine-painted-on",
        wrong="Chlorhexidine works by friction; painted in circles it stays on top.",
        base="quillmere",
        file=RULES,
        find='motion = "back-and-forth"',
        put='motion = "outward-circles"',
        fails=CORE,
        rule="chlorhexidine-alcohol",
        says="motion back-and-forth → outward-circles",
    ),
    Mutant(
        name="a-round-that-expects-nothing",
        wrong="If half of all dressings are expected to be off, the round finds nothing.",
        base="uk-guideline",
        file="published/rounds.toml",
        find="value = 80,",
        put="value = 5,",
        fails=CORE,
        rule="sane-round-expected",
    ),
    Mutant(
        name="a-round-that-knows-no-better-than-a-coin",
        wrong="Give or take ninety of a hundred is to know nothing.",
        base="us-guideline",
        file="published/rounds.toml",
        find="value = 10,",
        put="value = 90,",
        fails=CORE,
        rule="sane-round-half-width",
    ),
)

LEFT_OPEN = (
    Mutant(
        name="pus-under-a-film",
        wrong="Pus that is closed in under a film goes down the line.",
        base="us-guideline",
        file="set.toml",
        find='version = "2026.1"',
        put='version = "2026.1"\nremove = ["film-over-discharge"]',
        fails="safe",
        rule="require-no-film-over-pus",
        where="published/requirements.toml: require",
        shows=lambda s: "discharge" in s.found,
    ),
    Mutant(
        name="a-mask-on-a-baby",
        wrong="A baby of two months cannot pull a mask off its mouth.",
        base="us-guideline",
        file="published/limits.toml",
        find='one\'s face is turned away"\nunit = "calendar-years"',
        put='one\'s face is turned away"\nunit = "calendar-months"',
        fails=CORE,
        rule="sane-mask-from",
    ),
    Mutant(
        name="the-skin-is-looked-at-again-next-week",
        wrong="Skin that was stripped is looked at within the half hour, not in days.",
        base="uk-guideline",
        file="published/materials.toml",
        find='value = 30, source = "MARSI2013"',
        put='value = 3000, source = "MARSI2013"',
        fails=CORE,
        rule="sane-skin-look-again",
    ),
)

MUTANTS = (*LEFT_OPEN, *UNSAID, *UNSEEN, *TURNED, *MOVED)
