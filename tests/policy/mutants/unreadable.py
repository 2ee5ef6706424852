"""What the reader itself refuses: a number without its parts, a source not there."""

from __future__ import annotations

from tests.policy.mutants.mutant import FAULTY, Mutant

RULES = "antisepsis.toml"
MASS = 'values = [{ from = 2024-01-01, value = 1000, source = "common-practice" }]'

MUTANTS = (
    Mutant(
        name="number-without-source",
        wrong="The mass limit has no source.",
        base="quillmere",
        file=RULES,
        find=MASS,
        put="values = [{ from = 2024-01-01, value = 1000 }]",
        fails=FAULTY,
        code="policy-missing",
    ),
    Mutant(
        name="number-without-unit",
        wrong="The mass limit has no unit.",
        base="quillmere",
        file=RULES,
        find='means = "Mass from which chlorhexidine may be used"\nunit = "g"\nvalues',
        put='means = "Mass from which chlorhexidine may be used"\nvalues',
        fails=FAULTY,
        code="policy-missing",
    ),
    Mutant(
        name="number-without-first-day",
        wrong="The mass limit does not say from when.",
        base="quillmere",
        file=RULES,
        find=MASS,
        put='values = [{ value = 1000, source = "common-practice" }]',
        fails=FAULTY,
        code="policy-missing",
    ),
    Mutant(
        name="source-nobody-stated",
        wrong="The mass limit rests on a source that is not there.",
        base="quillmere",
        file=RULES,
        find=MASS,
        put='values = [{ from = 2024-01-01, value = 1000, source = "hearsay" }]',
        fails=FAULTY,
        code="policy-no-such-source",
    ),
    Mutant(
        name="weeks-without-days",
        wrong="A gestation limit has no days.",
        base="quillmere",
        file=RULES,
        find='value = "28w0d"',
        put='value = "28w"',
        fails=FAULTY,
        code="policy-bad-number",
    ),
    Mutant(
        name="rule-stands-twice",
        wrong="Two rules have one id.",
        base="quillmere",
        file=RULES,
        find='id = "chg-age"',
        put='id = "chg-mass"',
        fails=FAULTY,
        code="policy-same-id",
    ),
    Mutant(
        name="agent-misspelt-in-a-bar",
        wrong="A rule bars an agent that does not exist.",
        base="quillmere",
        file=RULES,
        find='bars = ["povidone-iodine"]',
        put='bars = ["povidone-iodin"]',
        fails=FAULTY,
        code="policy-unknown-word",
    ),
    Mutant(
        name="kit-item-nobody-needs",
        wrong="The kit holds saline, and no supply speaks of it.",
        base="quillmere",
        file="set.toml",
        find='version = "2026.1"',
        put='version = "2026.1"\nremove = ["supply-drape"]',
        fails=FAULTY,
        code="policy-no-such-supply",
    ),
)
