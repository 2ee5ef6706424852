"""Changes that a set may make: told otherwise, stricter, added, or loosened openly."""

from __future__ import annotations

from dataclasses import dataclass

WATCH, MATERIALS = "published/watch.toml", "published/materials.toml"
SUPPLIES, CHART = "published/supplies.toml", "published/chart.toml"
PROCEDURES = "published/procedures/sources.toml"


@dataclass(frozen=True, kw_only=True)
class Allowed:
    """One change to a copy of a shipped set that keeps what every set is held to.

    Parameters
    ----------
    name
        Kebab-case.
    right
        Why it may be, as a sentence.
    file, find, put, add
        As of `Mutant`; without ``file`` nothing is changed.
    base
        The shipped set.
    """

    name: str
    right: str
    base: str = "quillmere"
    file: str = ""
    find: str = ""
    put: str = ""
    add: str = ""


def number(id_: str, value: int, unit: str) -> str:
    """Return a number written anew."""
    return (
        f'\n[number.{id_}]\nmeans = "ours"\nunit = "{unit}"\n'
        f'values = [{{ from = 2024-01-01, value = {value}, source = "common-practice" }}]\n'
    )


ALLOWED = (
    Allowed(name="a-copy", right="Nothing was changed."),
    Allowed(name="a-copy-of-the-american-set", right="As it was.", base="us-guideline"),
    Allowed(name="a-copy-of-the-british-set", right="As it was.", base="uk-guideline"),
    Allowed(
        name="latex-in-french",
        right="The caution is for the same children, in the ward's own language.",
        file=MATERIALS,
        find="This child does not tolerate latex: gloves and everything else without it.",
        put="Cet enfant ne supporte pas le latex : gants et tout le reste sans latex.",
    ),
    Allowed(
        name="the-site-in-german",
        right="As many words to choose from, in the ward's own language.",
        file=CHART,
        find='["healthy", "red", "swollen", "painful", "discharge", "bleeding", '
        '"skin broken"]',
        put='["gesund", "rot", "geschwollen", "schmerzhaft", "Eiter", "Blutung", '
        '"Haut offen"]',
    ),
    Allowed(
        name="another-label-and-source",
        right="What is laid out is called otherwise, and rests on another document.",
        base="us-guideline",
        file=SUPPLIES,
        find='source = "common-practice"\nhow = "common-practice"\n'
        'item = "sterile-strips"\nlabel = "Sterile strips"',
        put='source = "skills-textbook"\nitem = "sterile-strips"\nlabel = "Wound strips"',
    ),
    Allowed(
        name="ten-millimetres-of-length",
        right="A line that moved is seen two millimetres sooner.",
        file="dressing.toml",
        add=number("length-limit-child", 10, "mm"),
    ),
    Allowed(
        name="the-same-limit-in-centimetres",
        right="12 mm and 1.2 cm are one length.",
        file=WATCH,
        find='unit = "mm"\nvalues = [{ from = 2024-01-01, value = 12,',
        put='unit = "cm"\nvalues = [{ from = 2024-01-01, value = 1.2,',
    ),
    Allowed(
        name="somebody-comes-within-ten-minutes",
        right="Who comes sooner comes in time.",
        base="uk-guideline",
        file="intervals.toml",
        add=number("act-at-once", 10, "min"),
    ),
    Allowed(
        name="two-strips-more",
        right="More lies ready than is asked for.",
        file=SUPPLIES,
        find='label = "Sterile strips"\ncount = { value = 2,',
        put='label = "Sterile strips"\ncount = { value = 4,',
    ),
    Allowed(
        name="a-newborn-s-weight-counts-two-days",
        right="It is weighed oftener.",
        base="us-guideline",
        file="numbers.toml",
        add=number("weighing-newborn", 2, "calendar-days").replace(
            "common-practice", "CDC11"
        ),
    ),
    Allowed(
        name="gauze-without-film-too",
        right="Whoever does not tolerate adhesive is kept from more, not from less.",
        file=MATERIALS,
        find='bars = ["transparent-chg-gel"]\n',
        put='bars = ["transparent-chg-gel", "transparent-chg-disc"]\n',
    ),
    Allowed(
        name="a-vein-from-the-first-grade",
        right="Somebody is called one grade earlier.",
        file=WATCH,
        find='scale = "phlebitis"\ngrade_at_least = { value = 2,',
        put='scale = "phlebitis"\ngrade_at_least = { value = 1,',
    ),
    Allowed(
        name="arms-and-legs-that-thicken",
        right="The concern arises in more children.",
        base="uk-guideline",
        file=WATCH,
        find='then = "educator"\nwhen = [{ site = { is = ["upper-arm"] } }]',
        put='then = "educator"\n'
        'when = [{ site = { is = ["upper-arm", "lower-leg", "femoral"] } }]',
    ),
    Allowed(
        name="what-happened-must-be-charted",
        right="What may be left blank elsewhere must be filled in here.",
        file=CHART,
        find='label = "Problems"\nkind = "text"',
        put='label = "Problems"\nkind = "text"\nrequired = true',
    ),
    Allowed(
        name="sets-are-always-dated",
        right="The round looks at it, whether anything runs or not.",
        base="us-guideline",
        file="published/rounds.toml",
        find='may_not_apply = "nothing is running"\n',
        put="",
    ),
    Allowed(
        name="one-more-caution",
        right="A caution more takes nothing away.",
        file="antisepsis.toml",
        add='\n[[note]]\nid = "house-dust"\nbecause = "Close the window first."\n'
        'source = "common-practice"\nkind = "look"\n',
    ),
    Allowed(
        name="three-identifiers",
        right="Who asks for three has asked for two.",
        file=PROCEDURES,
        find='by which a child is told from another"\nunit = "count"\n'
        "values = [{ from = 2024-01-01, value = 2,",
        put='by which a child is told from another"\nunit = "count"\n'
        "values = [{ from = 2024-01-01, value = 3,",
    ),
    Allowed(
        name="our-own-tape-named-openly",
        right="A ward that measured its own error says so, with its reason and source.",
        file="dressing.toml",
        add=number("length-error", 3, "mm")
        + '\n[[loosened]]\nid = "length-error"\nbecause = "200 pairs measured here."\n'
        'source = "common-practice"\n',
    ),
    Allowed(
        name="a-scale-named-openly",
        right="The hospital answers for grading no vein, and says so first.",
        base="uk-guideline",
        file="set.toml",
        find='version = "2026.1"',
        put='version = "2026.1"\nremove = ["visual-phlebitis"]',
        add='\n[[loosened]]\nid = "visual-phlebitis"\nbecause = "One ladder is enough."\n'
        'source = "common-practice"\n',
    ),
)
