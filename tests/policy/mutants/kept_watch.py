"""What published says of watching a line, dropped, narrowed or said otherwise."""

from __future__ import annotations

from tests.policy.mutants.mutant import CORE, Mutant

WATCH, CHILD = "published/watch.toml", "published/child.toml"
FEMORAL = 'when = [{ site = { is = ["femoral"] } }]\n'
DATED = 'from = 2024-01-01, source = "common-practice" }'

LENGTHS = (
    Mutant(
        name="only-lines-in-the-groin-can-move",
        wrong="A PICC that creeps out of the arm raises nothing any more.",
        base="quillmere",
        file=WATCH,
        find='at_least = "length-limit-child"\n',
        put=f'at_least = "length-limit-child"\n{FEMORAL}',
        fails=CORE,
        rule="length-change",
        says="when nothing → site is femoral",
    ),
    Mutant(
        name="four-centimetres-out-and-nobody-looks",
        wrong="A line that is four centimetres out no longer ends in a big vein.",
        base="us-guideline",
        file="numbers.toml",
        add='\n[number.length-limit-child]\nmeans = "change of length"\nunit = "mm"\n'
        'values = [{ from = 2024-01-01, value = 40, source = "CDC11" }]\n',
        fails=CORE,
        rule="length-limit-child",
        says="is 40 mm; every set is held to 12 mm or less",
    ),
    Mutant(
        name="the-limit-of-length-goes-up-next-year",
        wrong="This year 12 mm, from 2028 on 40: nobody will remember why.",
        base="uk-guideline",
        file=WATCH,
        find='values = [{ from = 2024-01-01, value = 12, source = "common-practice", '
        'how = "common-practice" }]',
        put='values = [{ from = 2024-01-01, value = 12, source = "common-practice" }, '
        '{ from = 2028-01-01, value = 40, source = "common-practice" }]',
        fails=CORE,
        rule="length-limit-child",
        says="40 mm from 2028-01-01 on",
    ),
    Mutant(
        name="the-limit-of-length-by-another-number",
        wrong="The old number stands untouched, and nothing goes by it any more.",
        base="quillmere",
        file="dressing.toml",
        add='\n[[length_limit]]\nid = "length-change"\nbecause = "A line may slip '
        '{at_least}."\nsource = "common-practice"\ndirection = "either"\n'
        f'at_least = {{ value = 40, unit = "mm", {DATED}\n',
        fails=CORE,
        rule="length-change",
        says="at least 12 mm → 40 mm",
    ),
    Mutant(
        name="a-tape-that-errs-by-a-centimetre",
        wrong="With so coarse a tape no still or moving line can be told from another.",
        base="us-guideline",
        file=WATCH,
        find='value = 2, source = "common-practice", how = "common-practice" }]\n\n'
        "[number.length-other-arm]",
        put='value = 8, source = "common-practice" }]\n\n[number.length-other-arm]',
        fails=CORE,
        rule="length-error",
    ),
)
CONCERNS = (
    Mutant(
        name="a-red-vein-waits-for-a-hard-cord",
        wrong="A child with a sore red vein waits until it is a hard cord with pus.",
        base="quillmere",
        file=WATCH,
        find='scale = "phlebitis"\ngrade_at_least = { value = 2,',
        put='scale = "phlebitis"\ngrade_at_least = { value = 4,',
        fails=CORE,
        rule="vein-inflamed",
        says="grade at least 2 → 4",
    ),
    Mutant(
        name="the-educator-runs-to-a-broken-line",
        wrong="A broken line bleeds now; the educator comes on weekdays.",
        base="us-guideline",
        file=WATCH,
        find="cover the break, put nothing through it, look for signs of air, and call."
        '"\nhold = "it has been mended by somebody signed off for it, or taken out"\n'
        'who = "charge-nurse"',
        put="cover the break, put nothing through it, look for signs of air, and call."
        '"\nhold = "it has been mended by somebody signed off for it, or taken out"\n'
        'who = "educator"',
        fails=CORE,
        rule="line-broken",
        says="acts the charge nurse → the vascular-access educator",
    ),
    Mutant(
        name="what-nobody-did-goes-back-to-the-same-nurse",
        wrong="The nurse did not come, and so the nurse is told again.",
        base="uk-guideline",
        file=WATCH,
        find='Let another person measure again, the arm in the same position."\n'
        'who = "nurse"\nact_within = "act-same-hour"\n'
        'settle_within = "settle-same-shift"\nthen = "charge-nurse"',
        put='Let another person measure again, the arm in the same position."\n'
        'who = "nurse"\nact_within = "act-same-hour"\n'
        'settle_within = "settle-same-shift"\nthen = "nurse"',
        fails=CORE,
        rule="length-doubtful",
        says="then goes to the charge nurse → the child’s nurse",
    ),
    Mutant(
        name="settled-within-a-fortnight",
        wrong="An inflamed site is settled tomorrow or the day after, not in two weeks.",
        base="quillmere",
        file=WATCH,
        find='unit = "h"\nvalues = [{ from = 2024-01-01, value = 48,',
        put='unit = "h"\nvalues = [{ from = 2024-01-01, value = 336,',
        fails=CORE,
        rule="settle-next-day",
        says="held to 2 × 24 h or less",
    ),
    Mutant(
        name="pus-waits-for-the-end-of-the-shift",
        wrong="Pus at the site is told this hour, and not before going home.",
        base="uk-guideline",
        file=WATCH,
        find='hold = "the prescriber has said whether it may stay and be used"\n'
        'who = "charge-nurse"\nact_within = "act-same-hour"',
        put='hold = "the prescriber has said whether it may stay and be used"\n'
        'who = "charge-nurse"\nact_within = "act-same-shift"',
        fails=CORE,
        rule="pus",
        says="act within 1 h → 8 h",
    ),
    Mutant(
        name="a-lumen-that-does-not-run-is-nobody-s",
        wrong="A lumen without blood return is forced by the next nurse.",
        base="us-guideline",
        file=WATCH,
        drop="line-not-patent",
        fails=CORE,
        rule="line-not-patent",
        says="left out: “A lumen is not patent”",
    ),
    Mutant(
        name="fever-is-no-sign-of-the-site",
        wrong="A child with a line and a fever is called about, whatever the site shows.",
        base="quillmere",
        file=WATCH,
        find='"hard-vein", "fever"]',
        put='"hard-vein"]',
        fails=CORE,
        rule="site-inflamed",
        says="signs",
    ),
)
SCALES = (
    Mutant(
        name="half-a-limb-has-no-grade",
        wrong="Whoever sees half the limb swollen finds no grade to write down.",
        base="us-guideline",
        file=WATCH,
        find='  { grade = 3, says = "swelling over a quarter to a half of the limb" },\n',
        put="",
        fails=CORE,
        rule="infiltration",
        says="grades",
    ),
    Mutant(
        name="pain-of-newborns-is-not-graded",
        wrong="The youngest cannot say that it hurts, and now nobody asks.",
        base="uk-guideline",
        file="set.toml",
        find='version = "2026.1"',
        put='version = "2026.1"\nremove = ["pain-preterm"]',
        fails=CORE,
        rule="pain-preterm",
        says="taken out",
    ),
    Mutant(
        name="veins-are-graded-in-the-groin-only",
        wrong="The scale is for veins in arm, leg and scalp, where one sees and feels them.",
        base="quillmere",
        file=WATCH,
        find='longer than 2.5 cm, or pus" },\n]\n'
        'when = [{ site = { is = ["upper-arm", "lower-leg", "scalp"] } }]',
        put='longer than 2.5 cm, or pus" },\n]\nwhen = [{ site = { is = ["femoral"] } }]',
        fails=CORE,
        rule="phlebitis",
        says="when",
    ),
)
WEIGHED = (
    Mutant(
        name="a-newborn-s-weight-counts-ten-days",
        wrong="In ten days a newborn is another child, and its dose another dose.",
        base="us-guideline",
        file=CHILD,
        find='born early"\nunit = "calendar-days"\n'
        "values = [{ from = 2024-01-01, value = 3,",
        put='born early"\nunit = "calendar-days"\n'
        "values = [{ from = 2024-01-01, value = 10,",
        fails=CORE,
        rule="weighing-newborn",
        says="held to 3 days or less",
    ),
    Mutant(
        name="a-large-film-on-a-baby-of-half-a-year",
        wrong="Eight by ten centimetres is the whole chest of a baby of six months.",
        base="quillmere",
        file=CHILD,
        find='unit = "calendar-years"\nvalues = [{ from = 2024-01-01, value = 6,',
        put='unit = "calendar-months"\nvalues = [{ from = 2024-01-01, value = 6,',
        fails=CORE,
        rule="film-large-from",
    ),
    Mutant(
        name="the-infant-s-weighing-goes-before-the-newborn-s",
        wrong="A newborn is an infant too, so its weight counts two weeks instead of days.",
        base="uk-guideline",
        file=CHILD,
        drop="weighing-of-a-newborn",
        add='\n[[weighing]]\nid = "weighing-of-a-newborn"\nbecause = "A newborn: '
        '{weighing-newborn}."\nsource = "common-practice"\n'
        'counts_for = "weighing-newborn"\nmay_lose = "weighing-may-lose-baby"\n'
        'when = [\n  { age = { below = "newborn-until" } },\n  { gestation_at_birth = '
        '{ below = "premature-gestation" }, age = { below = "early-newborn-until" } },'
        "\n]\n",
        fails=CORE,
        rule="weighing-of-a-newborn",
        says="stands after 'weighing-of-an-infant'",
    ),
)

MUTANTS = (*LENGTHS, *CONCERNS, *SCALES, *WEIGHED)
