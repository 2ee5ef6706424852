"""What is known of a child makes things laxer; and what its size is given."""

from __future__ import annotations

from tests.policy.mutants.mutant import Mutant

CHILD = "published/child.toml"
PUBLISHED = "published/requirements.toml: require"
FILMS = '["transparent", "transparent-chg-gel", "transparent-chg-disc"]'
SHORT = 'from = 2024-01-01, source = "common-practice" }'

EASED = (
    Mutant(
        name="the-allergic-keep-their-film-longer",
        wrong="Whoever's skin hates the glue wears it four days longer than the others.",
        base="quillmere",
        file="dressing.toml",
        add='\n[[interval]]\nid = "film-short"\nbecause = "{not_after}."\n'
        'source = "common-practice"\ntask = "dressing"\npriority = 1\n'
        f'not_after = {{ value = 3, unit = "calendar-days", {SHORT}\n'
        f"when = [{{ dressing = {{ is = {FILMS} }}, "
        'sensitivities = { lacks = ["adhesive"] } }]\n',
        fails="safe",
        rule="film-short",
        says="may wait longer",
    ),
    Mutant(
        name="a-latex-allergy-spares-the-needle",
        wrong="An allergy to latex has nothing to do with how long a needle lies.",
        base="uk-guideline",
        file="intervals.toml",
        add='\n[[interval]]\nid = "needle-short"\nbecause = "{not_after}."\n'
        'source = "common-practice"\ntask = "port-needle"\npriority = 1\n'
        f'not_after = {{ value = 4, unit = "calendar-days", {SHORT}\n'
        'when = [{ line_kind = { is = ["port"] }, '
        'sensitivities = { lacks = ["latex"] } }]\n',
        fails="safe",
        rule="needle-short",
        says="may wait longer",
    ),
    Mutant(
        name="a-sodden-site-has-no-clock",
        wrong="The wetter the skin, the longer the dressing stays: that is upside down.",
        base="us-guideline",
        file="intervals.toml",
        add='\n[[interval]]\nid = "sodden-no-clock"\nbecause = "We wait and look."\n'
        'source = "common-practice"\ntask = "dressing"\npriority = 3\n'
        'when = [{ findings = { includes = ["sodden"] } }]\n',
        fails="safe",
        rule="sodden-no-clock",
        says="may wait longer",
    ),
    Mutant(
        name="a-loose-dressing-spares-the-connector",
        wrong="That a dressing is loose does not keep a connector clean for longer.",
        base="quillmere",
        file="dressing.toml",
        find='task = "connector"\nnot_before = "connector-not-before"\n'
        'not_after = "connector-not-after"',
        put='task = "connector"\nnot_before = "connector-not-before"\n'
        'not_after = "connector-not-after"\npriority = 1\n'
        'when = [{ findings = { includes = ["loose"] } }]\n\n[[interval]]\n'
        'id = "connector-otherwise"\nbecause = "{not_after}."\n'
        'source = "INS21"\ntask = "connector"\nnot_before = "connector-not-before"\n'
        f'not_after = {{ value = 5, unit = "calendar-days", {SHORT}',
        fails="safe",
        rule="connector-window",
        says="may wait longer",
    ),
    Mutant(
        name="the-allergic-groin-is-scrubbed-less",
        wrong="Who cannot have iodine gets the quick scrub: no reason in the world.",
        base="us-guideline",
        file="antiseptics.toml",
        add='\n[[site_rule]]\nid = "arm-too"\nbecause = "Ours."\n'
        'source = "common-practice"\n'
        f'scrub_at_least = {{ value = 90, unit = "s", {SHORT}\n'
        f'dry_at_least = {{ value = 60, unit = "s", {SHORT}\n'
        'when = [{ site = { is = ["upper-arm"] }, '
        'sensitivities = { lacks = ["iodine"] } }]\n',
        fails="safe",
        rule="arm-too",
        says="less time to",
    ),
    Mutant(
        name="three-people-unless-allergic",
        wrong="The child with the latex allergy gets one pair of hands fewer.",
        base="quillmere",
        file="people.toml",
        find='staff = "staff"\nmasks_within = "mask-radius"',
        put='staff = "staff"\nmasks_within = "mask-radius"\n'
        'when = [{ sensitivities = { includes = ["latex"] } }]\n\n[[staffing]]\n'
        'id = "three-people"\nbecause = "Ours."\nsource = "common-practice"\n'
        f'staff = {{ value = 3, unit = "count", {SHORT}\nmasks_within = "mask-radius"\n'
        'when = [{ sensitivities = { lacks = ["latex"] } }]',
        fails="safe",
        rule="two-people",
        says="fewer people",
    ),
)
SIZED = (
    Mutant(
        name="a-school-child-s-film-for-the-smallest",
        wrong="A film of twelve centimetres covers a baby of 900 g from neck to navel.",
        base="quillmere",
        file=CHILD,
        find='means = "height of the film for the smallest"\nunit = "mm"\n'
        "values = [{ from = 2024-01-01, value = 40,",
        put='means = "height of the film for the smallest"\nunit = "mm"\n'
        "values = [{ from = 2024-01-01, value = 120,",
        fails="safe",
        rule="require-small-film-for-the-smallest",
        where=PUBLISHED,
        shows=lambda s: s.grams is None or s.grams < 1500,
    ),
    Mutant(
        name="big-films-for-the-small",
        wrong="The small get the middle film, and the middle ones the small.",
        base="us-guideline",
        file=CHILD,
        find='area_high = "film-middle-area-high"\nwhen = [{ mass = { at_least = '
        '"very-small-mass" }, age',
        put='area_high = "film-middle-area-high"\nwhen = [{ mass = { below = '
        '"very-small-mass" }, age',
        fails="safe",
        rule="require-small-film-for-the-smallest",
        where=PUBLISHED,
        shows=lambda s: s.grams is None or s.grams < 1500,
    ),
    Mutant(
        name="newborn-and-infant-exchanged",
        wrong="The newborn's weight counts a fortnight and the infant's three days.",
        base="quillmere",
        file=CHILD,
        find='counts_for = "weighing-newborn"\nmay_lose',
        put='counts_for = "weighing-infant"\nnumbers = ["weighing-newborn"]\nmay_lose',
        fails="safe",
        rule="require-newborn-weighed-lately",
        where=PUBLISHED,
        shows=lambda s: s.may_be_younger_than(hours=672),
    ),
    Mutant(
        name="an-infant-s-weight-of-last-season",
        wrong="In two months an infant gains a third of itself.",
        base="uk-guideline",
        file=CHILD,
        find='means = "how long a weighing of an infant counts"\n'
        'unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 14,',
        put='means = "how long a weighing of an infant counts"\n'
        'unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 60,',
        fails="safe",
        rule="require-infant-weighed-monthly",
        where=PUBLISHED,
        shows=lambda s: s.may_be_younger_than(months=12),
    ),
    Mutant(
        name="a-child-weighed-once-in-its-life",
        wrong="No rule says when an older child is weighed again, so it never is.",
        base="us-guideline",
        file=CHILD,
        drop="weighing-of-a-child",
        fails="safe",
        rule="require-a-weighing-does-not-count-for-ever",
        where=PUBLISHED,
        shows=lambda s: s.may_be_as_old_as(months=12),
    ),
    Mutant(
        name="an-infant-s-film-of-a-hand",
        wrong="A film as long as a hand does not lie flat on an infant's arm.",
        base="uk-guideline",
        file=CHILD,
        find='means = "height of the film for a baby or small child"\nunit = "mm"\n'
        "values = [{ from = 2024-01-01, value = 70,",
        put='means = "height of the film for a baby or small child"\nunit = "mm"\n'
        "values = [{ from = 2024-01-01, value = 145,",
        fails="safe",
        rule="require-no-large-film-for-an-infant",
        where=PUBLISHED,
        shows=lambda s: s.may_be_younger_than(months=12),
    ),
)

MUTANTS = (*EASED, *SIZED)
