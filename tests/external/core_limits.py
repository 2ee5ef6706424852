"""What every set is held to of decisions that the sets on top make, and its breach."""

from __future__ import annotations

from typing import Any

from tests.external.limit import (
    MONTHS_2,
    NEWBORN,
    PUBLISHED,
    UK,
    US,
    WEEK,
    YEAR,
    Limit,
)

from lumenkeep.core.model.times import Elapsed

HOUSE = "quillmere"
COMMON = "common-practice"
A_DAY = (
    '{ value = 24, unit = "h", from = 2024-01-01, source = "common-practice", '
    'how = "common-practice" }'
)
YOUNG_ARE_HANDED_ON = 'when = [{ age = { below = "cdc11-chlorhexidine-age" } }]'
ON_THE_FIRST_DAY = f"when = [{{ age = {{ below = {A_DAY} }} }}]"
BRITISH_BROKEN = (
    'bars = ["chlorhexidine-aqueous", "chlorhexidine-alcohol", "povidone-iodine", '
    '"transparent"]'
)
WATER_BARRED = 'bars = ["chlorhexidine-aqueous", "povidone-iodine", "transparent"]'


def of_the_core(
    fact: str, source: str, figures: tuple[Any, ...], **change: str
) -> Limit:
    """Return a limit of the set that all others are held to."""
    return Limit(base=PUBLISHED, fact=fact, source=source, figures=figures, **change)


def at_rest(task: str) -> Limit:
    """Return the limit that nothing is due of a task on a port at rest."""
    return of_the_core(
        "no document: a port at rest",
        COMMON,
        (),
        tried_on=US,
        file="intervals.toml",
        find=f'task = "{task}"\nnothing_due = true\npriority = 9',
        put=f'task = "{task}"\npriority = 9',
    )


CORE_LIMITS = {
    "require-no-alcohol-on-the-newest-skin": of_the_core(
        "1.12, 1.13",
        "NPPG",
        (34 * 7, WEEK),
        tried_on=US,
        file="antiseptics.toml",
        find=YOUNG_ARE_HANDED_ON,
        put=ON_THE_FIRST_DAY,
    ),
    "require-weak-water-on-the-newest-skin": of_the_core(
        "1.12, 1.17",
        "NPPG",
        (34 * 7, WEEK, 0.5),
        tried_on=UK,
        file="numbers.toml",
        find='value = 0.5, source = "NPPG"',
        put='value = 0.6, source = "NPPG"',
    ),
    "require-water-off-newborn": of_the_core(
        "1.18, 1.19",
        "MHRA14",
        (NEWBORN,),
        tried_on=UK,
        file="antiseptics.toml",
        find='residue_removed_with = "sterile-water"\n',
        put="",
    ),
    "require-no-iodine-on-the-smallest": of_the_core(
        "1.14",
        "BNF",
        (32 * 7, NEWBORN, 1500, NEWBORN),
        tried_on=US,
        file="antiseptics.toml",
        find=YOUNG_ARE_HANDED_ON,
        put=ON_THE_FIRST_DAY,
    ),
    "require-no-tincture-of-iodine-on-a-newborn": of_the_core(
        "1.10",
        "INS24",
        (NEWBORN,),
        tried_on=HOUSE,
        file="antisepsis.toml",
        find='contains = ["iodine"]',
        put='contains = ["iodine", "alcohol"]',
    ),
    "require-no-pad-under-2-months": of_the_core(
        "2.13",
        "SHEA22",
        (MONTHS_2,),
        tried_on=US,
        file="dressings.toml",
        find='when = [{ age = { below = "shea22-dressing-age" } }]',
        put='when = [{ age = { below = "newborn-until" } }]',
    ),
    "require-no-bath-under-2-months": of_the_core(
        "3.24",
        "SHEA22",
        (MONTHS_2,),
        tried_on=US,
        file="dressings.toml",
        find='when = [{ age = { below = "shea22-bath-age" } }]',
        put='when = [{ age = { below = "newborn-until" } }]',
    ),
    "require-no-alcohol-on-broken-skin": of_the_core(
        "no document: broken skin",
        COMMON,
        (),
        tried_on=UK,
        file="antiseptics.toml",
        find=BRITISH_BROKEN,
        put=WATER_BARRED,
    ),
    "require-no-chlorhexidine-on-broken-skin": of_the_core(
        "no document: broken skin",
        COMMON,
        (),
        tried_on=UK,
        file="antiseptics.toml",
        find=BRITISH_BROKEN,
        put=WATER_BARRED,
    ),
    "require-no-film-on-broken-skin": of_the_core(
        "no document: broken skin",
        COMMON,
        (),
        tried_on=HOUSE,
        file="dressing.toml",
        find='source = "film-change-text"\nbars = ["transparent"]',
        put='source = "film-change-text"\nbars = ["transparent-chg-disc"]',
    ),
    "require-chlorhexidine-from-one-year": of_the_core(
        "1.1; epic3, as far as carried",
        "epic3",
        (YEAR, 2000),
        tried_on=UK,
        file="antiseptics.toml",
        find='below = "first-birthday" } }]\n\n[[refer]]\nid = "sensitive-baby"',
        put='below = "corrected-age-until" } }]\n\n[[refer]]\nid = "sensitive-baby"',
    ),
    "require-alcohol-times": of_the_core(
        "1.31",
        "NovaScotia",
        (Elapsed(60), Elapsed(30)),
        tried_on=US,
        file="numbers.toml",
        find='value = 30, source = "NovaScotia"',
        put='value = 29, source = "NovaScotia"',
    ),
    "require-no-line-replaced-by-the-clock": of_the_core(
        "CDC11, replacement of lines; the cord 3.23",
        "CDC11",
        (),
        tried_on=US,
        file="intervals.toml",
        find='not_after = "uvc-stay"\nwhen = [{ line_kind = { is = ["umbilical-venous"] '
        "} }]",
        put='not_after = "uvc-stay"\nwhen = [{ line_kind = { is = ["umbilical-venous", '
        '"picc"] } }]',
    ),
    "require-no-line-out-for-its-dressing": of_the_core(
        "2.3",
        "CDC11",
        (),
        tried_on=US,
        file="intervals.toml",
        find='task = "dressing"\nwhen = [{ findings = { includes = ["damp", ',
        put='task = "line-stay"\nwhen = [{ findings = { includes = ["damp", ',
    ),
    "require-no-clock-on-the-cord": of_the_core(
        "no document: the cord",
        COMMON,
        (),
        tried_on=US,
        file="intervals.toml",
        find='when = [{ line_kind = { is = ["umbilical-venous", "umbilical-arterial"] } '
        "}]",
        put='when = [{ line_kind = { is = ["umbilical-venous"] } }]',
    ),
    "require-nothing-due-on-a-port-at-rest": at_rest("dressing"),
    "require-no-needle-due-in-a-port-at-rest": at_rest("port-needle"),
    "require-no-connector-due-on-a-port-at-rest": at_rest("connector"),
    "require-no-set-due-where-none-hangs": at_rest("set"),
    "require-pus-and-sodden-skin-at-once": of_the_core(
        "no document: pus and sodden skin",
        COMMON,
        (),
        tried_on=US,
        file="intervals.toml",
        find='when = [{ findings = { includes = ["discharge"] } }]',
        put='when = [{ findings = { includes = ["damp"] } }]',
    ),
}
