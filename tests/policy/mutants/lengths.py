"""Limits of length that measuring error rings by itself."""

from __future__ import annotations

from tests.policy.mutants.mutant import Mutant

WATCH = "published/watch.toml"
LIMITS = "published/watch.toml: length_limit"

MUTANTS = (
    Mutant(
        name="limit-within-the-error",
        wrong="A change of 5 mm raises a concern, and error alone often makes as much.",
        base="quillmere",
        file=WATCH,
        find="value = 12, source",
        put="value = 5, source",
        fails="consistent",
        rule="length-change",
        where=LIMITS,
        says="76.7 of 100",
        shows=lambda _: True,
    ),
    Mutant(
        name="smaller-limit-for-the-small",
        wrong="Under 10 kg a change of 8 mm raises a concern, which error alone reaches.",
        base="us-guideline",
        file=WATCH,
        add="""
[[length_limit]]
id = "small"
because = "The smaller the child, the shorter the vein."
source = "common-practice"
direction = "outward"
at_least = { value = 8, unit = "mm", from = 2024-01-01, source = "common-practice" }
when = [{ mass = { below = { value = 10000, unit = "g", from = 2024-01-01, source = "common-practice" } } }]
""",
        fails="consistent",
        rule="small",
        where=LIMITS,
        says="of 100 lines moved that never move",
        shows=lambda s: s.grams is None or s.grams < 10_000,
    ),
    Mutant(
        name="error-nobody-states",
        wrong="Nobody says how exactly length is measured, and a limit counts all the same.",
        base="quillmere",
        file=WATCH,
        drop="measuring-length",
        fails="consistent",
        rule="length-change",
        where=LIMITS,
        says="no rule says how exactly",
        shows=lambda _: True,
    ),
    Mutant(
        name="promise-without-an-end",
        wrong="It is not said within how many measurements the promise is kept.",
        base="uk-guideline",
        file=WATCH,
        find='over = "length-over"\n',
        put="",
        fails="consistent",
        rule="length-change",
        where=LIMITS,
        says="sooner or later",
        shows=lambda _: True,
    ),
    Mutant(
        name="error-doubled",
        wrong="Measuring is twice as rough, and the limit is left as it was.",
        base="quillmere",
        file=WATCH,
        find='value = 2, source = "common-practice", how = "common-practice" }]\n\n'
        "[number.length-other-arm]",
        put='value = 4, source = "common-practice", how = "common-practice" }]\n\n'
        "[number.length-other-arm]",
        fails="consistent",
        rule="length-change",
        where=LIMITS,
        says="of 4 mm error",
        shows=lambda _: True,
    ),
)
