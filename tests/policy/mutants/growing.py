"""Something allowed is taken away again as the child grows."""

from __future__ import annotations

from tests.policy.mutants.mutant import WATER, Mutant

MUTANTS = (
    Mutant(
        name="water-ends-without-a-word",
        wrong="Water ends at seven days, and the rule does not say so openly.",
        base="uk-guideline",
        file="antiseptics.toml",
        find='bars = ["chlorhexidine-aqueous"]\ntakes_away = true\n',
        put='bars = ["chlorhexidine-aqueous"]\n',
        fails="stable",
        rule="water-only-when-early-and-new",
        where="uk-guideline/antiseptics.toml: exclude",
        shows=lambda s: (
            s.later is not None and s.agent == WATER and s.later.agent != WATER
        ),
    ),
    Mutant(
        name="newborn-statements-end-without-a-word",
        wrong="At 28 days the child is referred, and the rule does not say so openly.",
        base="uk-guideline",
        file="antiseptics.toml",
        find='how = "found"\ntakes_away = true\nwhen = [{ age = { at_least = "newborn',
        put='how = "found"\nwhen = [{ age = { at_least = "newborn',
        fails="stable",
        rule="between-newborn-and-one-year",
        where="uk-guideline/antiseptics.toml: refer",
        shows=lambda s: (
            s.later is not None and s.verdict == "plan" and s.later.verdict == "stop"
        ),
    ),
    Mutant(
        name="alcohol-referral-without-a-word",
        wrong="A child sensitive to alcohol is referred once older, not openly said.",
        base="uk-guideline",
        file="antiseptics.toml",
        find='how = "common-practice"\ntakes_away = true\nwhen = [\n  { sensitivities',
        put='how = "common-practice"\nwhen = [\n  { sensitivities',
        fails="stable",
        rule="sensitive-to-alcohol",
        where="uk-guideline/antiseptics.toml: refer",
        shows=lambda s: (
            s.later is not None and s.verdict == "plan" and s.later.verdict == "stop"
        ),
    ),
    Mutant(
        name="a-second-birthday-bars",
        wrong="From two years on a child is referred.",
        base="quillmere",
        file="antisepsis.toml",
        add='\n[[refer]]\nid = "from-two-years"\nbecause = "From a later birthday."\n'
        'source = "quillmere-reading"\nwhen = [{ age = { at_least = { value = 2, '
        'unit = "calendar-years", from = 2024-01-01, source = "quillmere-reading" } } }]\n',
        fails="stable",
        rule="from-two-years",
        where="quillmere/antisepsis.toml: refer",
        shows=lambda s: (
            s.later is not None
            and s.verdict == "plan"
            and s.later.verdict == "stop"
            and s.later.may_be_as_old_as(months=24)
        ),
    ),
)
