"""Sets that say something false of the world, or move a bound of it unawares."""

from __future__ import annotations

from tests.policy.mutants.mutant import FAULTY, Mutant

PLAUSIBLE = "published/plausible.toml"
WORLD = "published/world.toml"
FALSE_ROW = """
[[plausible]]
id = "mass-of-a-newborn"
because = "No newborn weighs less."
source = "common-practice"
fact = "mass"
at_least = { value = 2000, unit = "g", from = 2024-01-01, source = "common-practice" }
"""

MUTANTS = (
    Mutant(
        name="every-newborn-is-taken-for-heavy",
        wrong="From 28 days on, a mass nobody charted is taken for 2 kg or more.",
        base="quillmere",
        file=PLAUSIBLE,
        find='at_least = "first-birthday"',
        put='at_least = "newborn-until"',
        fails=FAULTY,
        code="policy-not-of-the-world",
    ),
    Mutant(
        name="a-year-lasts-a-month",
        wrong="The first birthday comes after one month, so a baby is taken for heavy.",
        base="quillmere",
        file="published/limits.toml",
        find='unit = "calendar-years"\n'
        'values = [{ from = 2024-01-01, value = 1, source = "common-practice", '
        'how = "common-practice" }]',
        put='unit = "calendar-months"\n'
        'values = [{ from = 2024-01-01, value = 1, source = "common-practice", '
        'how = "common-practice" }]',
        fails=FAULTY,
        code="policy-not-of-the-world",
    ),
    Mutant(
        name="a-year-lasts-a-month-in-the-own-set",
        wrong="The hospital's own file says that the first birthday comes in a month.",
        base="uk-guideline",
        file="numbers.toml",
        add='\n[number.first-birthday]\nmeans = "one year"\nunit = "calendar-months"\n'
        'values = [{ from = 2024-01-01, value = 1, source = "common-practice" }]\n',
        fails=FAULTY,
        code="policy-not-of-the-world",
    ),
    Mutant(
        name="nobody-is-lighter-than-three-kilograms",
        wrong="A child of a year is believed to weigh 10 kg, whoever it is.",
        base="us-guideline",
        file=PLAUSIBLE,
        find="at_least = { value = 2000",
        put="at_least = { value = 10000",
        fails=FAULTY,
        code="policy-not-of-the-world",
    ),
    Mutant(
        name="a-row-of-its-own-about-newborns",
        wrong="The set adds that no newborn weighs less than 2 kg.",
        base="quillmere",
        file="antisepsis.toml",
        add=FALSE_ROW,
        fails=FAULTY,
        code="policy-not-of-the-world",
    ),
    Mutant(
        name="a-metre-of-line-is-believed",
        wrong="A length of 1650 mm, a slip for 165, is believed by this set alone.",
        base="quillmere",
        file=WORLD,
        find='high = 600\nunit = "mm"\nfrom = 2024-01-01\nsource = '
        '"common-practice"\nhow = "common-practice"\n\n[[bound]]\nid = "lumens"',
        put='high = 2000\nunit = "mm"\nfrom = 2024-01-01\nsource = '
        '"common-practice"\nhow = "common-practice"\n\n[[bound]]\nid = "lumens"',
        fails=FAULTY,
        code="policy-bound-restated",
    ),
    Mutant(
        name="a-five-year-old-of-a-newborn-s-weight",
        wrong="At five years 1.8 kg is believed: grams and kilograms may be mistaken.",
        base="quillmere",
        file=WORLD,
        find="{ days = 1826, low = 3500,",
        put="{ days = 1826, low = 1500,",
        fails=FAULTY,
        code="policy-bound-restated",
    ),
    Mutant(
        name="a-bound-in-another-unit",
        wrong="The set restates the longest length in centimetres by mistake, as a mass.",
        base="quillmere",
        file="kit.toml",
        add='\n[[bound]]\nid = "external-length-mm"\nbecause = "Ours are longer."\n'
        'low = 0\nhigh = 90\nunit = "g"\nfrom = 2024-01-01\n'
        'source = "common-practice"\nrestates = true\n',
        fails=FAULTY,
        code="policy-bound-restated",
    ),
    Mutant(
        name="a-bound-of-nothing",
        wrong="The set bounds something that nothing reads.",
        base="quillmere",
        file="kit.toml",
        add='\n[[bound]]\nid = "external-lenght-mm"\nbecause = "Ours are longer."\n'
        'low = 0\nhigh = 900\nunit = "mm"\nfrom = 2024-01-01\n'
        'source = "common-practice"\nrestates = true\n',
        fails=FAULTY,
        code="policy-no-such-bound",
    ),
    Mutant(
        name="a-bound-turned-round",
        wrong="Least and greatest length are exchanged, so no length can be charted.",
        base="quillmere",
        file="kit.toml",
        add='\n[[bound]]\nid = "external-length-mm"\nbecause = "Ours are longer."\n'
        'low = 900\nhigh = 0\nunit = "mm"\nfrom = 2024-01-01\n'
        'source = "common-practice"\nrestates = true\n',
        fails=FAULTY,
        code="policy-turned-round",
    ),
)
