"""Dressing life in the words a colleague would use."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model.dressing_kinds import DRESSING_KINDS
from lumenkeep.core.model.words import DRESSINGS, FINDINGS, LINE_KINDS, SITES
from lumenkeep.core.watch.dressing_life import OfHundred, of_hundred
from lumenkeep.core.watch.life_splits import (
    AGE,
    ALL,
    AT_INSERTION,
    FIRST,
    KIND,
    LATER,
    LINE,
    SEASON,
    SITE,
    WARD,
)
from lumenkeep.core.watch.spells import End

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.core.watch.dressing_life import GroupComparison, GroupLife
    from lumenkeep.core.watch.life_plan import ChosenTest
    from lumenkeep.core.watch.survival.limits import Estimate

SPLIT_WORDS = {
    ALL: "Not grouped",
    KIND: "Kind of dressing",
    SITE: "Site",
    LINE: "Kind of line",
    WARD: "Ward",
    AGE: "Age of the child",
    SEASON: "Time of year",
    FIRST: "First or later dressing",
}
END_WORDS = {
    End.FAILED: "Failed",
    End.PLANNED: "Changed as planned",
    End.LINE_OUT: "Came out with the line",
    End.EARLY: "Early, other reason",
    End.UNKNOWN: "Reason not charted",
    End.STILL_ON: "Still on",
}
FIRST_WORDS = {AT_INSERTION: "Put on at insertion", LATER: "Put on later"}
LEAST_P = 0.001


def group_words(split: str, key: str | None, wards: Mapping[str, str]) -> str:
    """Return what a group is called."""
    if key is None:
        return "Not known"
    words: Mapping[str, str] = {
        KIND: DRESSINGS,
        SITE: SITES,
        LINE: LINE_KINDS,
        WARD: wards,
        FIRST: FIRST_WORDS,
        ALL: {key: "All dressings"},
    }.get(split, {})
    return words.get(key, key[:1].upper() + key[1:])


def curve_words(split: str, key: str | None, wards: Mapping[str, str]) -> str:
    """Return what a group is called beside its curve, where there is little room."""
    if split == KIND and key in DRESSING_KINDS and DRESSING_KINDS[key].short:
        return DRESSING_KINDS[key].short
    return (
        group_words(split, key, wards).partition(" (")[0].removesuffix(" central line")
    )


def day_words(horizon: float) -> str:
    """Return the day asked about."""
    return f"day {horizon:g}"


def life_sentence(life: GroupLife, what: str) -> str:
    """Return the answer: of a hundred such dressings, so many fail.

    Parameters
    ----------
    what
        "dressings", or a kind of them, perhaps with where: "dressings on Heron".
    """
    day, found = day_words(life.horizon), of_hundred(life.failed)
    if found is None:
        return (
            f"Nobody can say yet how many of 100 {what} fail before {day}: "
            f"too few were watched that long."
        )
    if not found.value and not found.low:
        none = "none fails" if not life.ends[End.FAILED] else "hardly one fails"
        return (
            f"Of 100 {what}, {none} before {day} as far as seen; "
            f"it may be up to {found.high}."
        )
    fails = "fails" if found.value == 1 else "fail"
    return (
        f"Of 100 {what}, about {found.value} {fails} before {day} "
        f"({found.low} to {found.high})."
    )


def basis_words(life: GroupLife) -> str:
    """Return from how much it is known."""
    return (
        f"From {_counted(len(life.spells), 'dressing')} on "
        f"{_counted(life.lines, 'line')} of "
        f"{_counted(life.children, 'child', 'children')}; the numbers in brackets are "
        "95\N{NO-BREAK SPACE}% limits."
    )


def hundred_words(estimate: Estimate) -> tuple[str, str]:
    """Return a share of a hundred, and its limits."""
    found: OfHundred | None = of_hundred(estimate)
    if found is None:
        return "cannot be judged", ""
    return f"{found.value}", f"{found.low} to {found.high}"


def half_words(life: GroupLife) -> str:
    """Return by when half of the dressings were off, for whatever reason."""
    half = life.half_life.value
    return "not reached" if half is None else f"{half:.1f} d"


def comparison_words(found: GroupComparison, test: ChosenTest) -> str:
    """Return whether the groups differ, by the test that was chosen beforehand."""
    if found.test.p_value is None:
        return f"they cannot be compared. {found.test.caution}"
    p = found.test.p_value
    if found.differs(test.alarm):
        told = "they fail at different paces, more than chance alone would often show"
    elif p < test.alarm:
        told = "the differences may be chance, since they rest on few children"
    else:
        told = "the differences may be chance"
    shown = f"below {LEAST_P:g}" if p < LEAST_P else f"{p:.2g}"
    return (
        f"{told} ({test.weights} test chosen beforehand, p\N{NO-BREAK SPACE}{shown})."
    )


def doubts(life: GroupLife, no_ward: int, without_start: int) -> list[str]:
    """Return what is not known, as sentences."""
    told = []
    day = day_words(life.horizon)
    if life.if_all_had_failed is not None:
        worst, limits = hundred_words(life.if_all_had_failed)
        told.append(
            f"{_unsure(life)} That is not counted as failing; if all of them had failed, "
            f"it would be {worst} of 100 before {day}"
            + (f" ({limits})." if limits else ".")
        )
    if life.undecided and life.failed.value is not None:
        told.append(
            f"No dressing was watched up to {day}. Watching ends at day "
            f"{life.watched_to:.1f} with {life.undecided * 100:.0f} % still on; the upper "
            "limit counts them as failed."
        )
    charted = sum(spell.charted_planned for spell in life.spells)
    if charted:
        told.append(
            f"{_counted(charted, 'dressing')} had been found damp, loose or soiled and "
            "was later charted as changed when due: counted as failed when found."
        )
    if no_ward:
        told.append(
            f"{_counted(no_ward, 'dressing')} was put on while no ward was charted for "
            "the child: on no ward’s account, and not counted here."
            if no_ward == 1
            else f"{no_ward:,} dressings were put on while no ward was charted for the "
            "child: on no ward’s account, and not counted here."
        )
    if without_start:
        told.append(
            f"{_counted(without_start, 'dressing')} came off of which nobody had charted "
            "when it was put on, in all wards together: how long it held is not known."
        )
    told.append(
        "A failure that nobody charted is not here: a dressing that was loose at night "
        "and changed without a word counts as planned."
    )
    return told


def _unsure(life: GroupLife) -> str:
    unknown, early = life.ends[End.UNKNOWN], life.ends[End.EARLY]
    parts = [
        f"{_counted(unknown, 'dressing')} came off for a reason that nobody charted"
        if unknown
        else "",
        f"{_counted(early, 'dressing')} came off early for another reason"
        if early
        else "",
    ]
    return f"{', and '.join(part for part in parts if part)}."


def finding_words(finding: str | None) -> str:
    """Return what was found on a dressing that failed."""
    return FINDINGS.get(finding or "", "Not said")


def _counted(number: int, one: str, many: str = "") -> str:
    return f"{number:,} {one if number == 1 else many or one + 's'}"
