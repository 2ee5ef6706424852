"""Determination over ten years of an invented children's hospital.

About 400,000 line-days and 40,000 blood specimens, a fifth of which grew something,
with a temperature for each line-day and blood counts on the cancer ward; then twice
and four times as much, to show that the cost grows with the data and not faster.
Every timeline is kept in memory at once; the seed is fixed. Seconds are of one core at
work, so that a busy machine does not count.
"""

from __future__ import annotations

import gc
import resource
import sys
from dataclasses import dataclass
from datetime import date, timedelta
from random import Random
from time import process_time
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.determine import determine
from lumenkeep.core.outcomes.protocol_year import protocol_year
from lumenkeep.core.outcomes.timeline import (
    CellCount,
    Moment,
    Sign,
    Specimen,
    Timeline,
    TrackedLine,
    WardStay,
)
from sizes import sized

if TYPE_CHECKING:
    from collections.abc import Iterator

FIRST = date(2015, 1, 1)
YEARS = 10
CHILDREN = sized(21_000, small=200)
WARDS = ("Kestrel", "Wren", "Heron")
GREW = (
    ("S. epidermidis", 30),
    ("coagulase-negative staphylococci", 20),
    ("S. aureus", 12),
    ("E. coli", 10),
    ("Klebsiella pneumoniae", 8),
    ("Enterococcus faecalis", 6),
    ("viridans streptococci", 5),
    ("Candida albicans", 4),
    ("P. aeruginosa", 4),
    ("Staphylococcus lugdunensis", 1),
)


@dataclass
class Sums:
    """What a run held."""

    children: int = 0
    line_days: int = 0
    blood: int = 0
    events: int = 0
    clabsi: int = 0


def child(random: Random, number: int) -> tuple[Timeline, int]:
    """Return one child's timeline and its line-days."""
    start = FIRST + timedelta(days=random.randrange(YEARS * 365))
    length = 4 + int(random.expovariate(1 / 18))
    day = [start + timedelta(days=n) for n in range(length)]
    ward = random.choice(WARDS)
    moved = random.randrange(1, length)
    other = random.choice(WARDS)
    stays = (
        WardStay(ward, is_inpatient=True, start=Moment(day[0]), end=Moment(day[moved])),
        WardStay(
            other, is_inpatient=True, start=Moment(day[moved]), end=Moment(day[-1])
        ),
    )
    inserted = random.randrange(0, min(3, length))
    line = TrackedLine(
        f"line-{number}",
        random.choice(("picc", "non-tunnelled", "tunnelled", "port")),
        "great-vessel",
        Moment(day[inserted]),
        Moment(day[inserted]),
        access_is_told=True,
        removed=Moment(day[-1]),
    )
    names, weights = zip(*GREW, strict=True)
    specimens = []
    for bottle in range(random.choice((0, 1, 2, 2, 2, 2, 3, 4))):
        grew = random.random() < 0.2
        organism = random.choices(names, weights)[0] if grew else None
        at = Moment(random.choice(day))
        specimens.append(
            Specimen(
                f"b{number}-{bottle}",
                at,
                "blood",
                str(bottle % 2),
                "culture",
                (organism,) if organism else (),
            )
        )
    signs = [
        Sign(Moment(on), "temperature", random.gauss(37.2, 0.7))
        for on in day[inserted:]
    ]
    counts = []
    if "Heron" in (ward, other):
        counts = [
            CellCount(Moment(on), "anc", random.expovariate(1 / 900)) for on in day[::2]
        ]
    return (
        Timeline(
            "2025",
            born=start - timedelta(days=random.randrange(5000)),
            birthweight_g=random.randrange(600, 4200),
            stays=stays,
            lines=(line,),
            specimens=tuple(specimens),
            signs=tuple(signs),
            counts=tuple(counts),
        ),
        length - inserted,
    )


def hospital(children: int, sums: Sums) -> Iterator[Timeline]:
    """Yield so many children, always the same."""
    random = Random(20251125)
    for number in range(children):
        timeline, line_days = child(random, number)
        sums.children += 1
        sums.line_days += line_days
        sums.blood += len(timeline.specimens)
        yield timeline


def main() -> None:
    """Print one row for each size."""
    protocol = protocol_year("2025")
    print(
        f"{'size':>5} {'children':>9} {'line-days':>10} {'blood':>8} {'events':>7} "
        f"{'CLABSI':>7} {'seconds':>8} {'us/specimen':>12} {'peak MB':>8}"
    )
    for size in (1, 2, 4):
        sums = Sums()
        timelines = list(hospital(CHILDREN * size, sums))
        # The hospital in memory is not garbage; without this each pass of the
        # collector walks through all of it again.
        gc.collect()
        gc.freeze()
        start = process_time()
        for timeline in timelines:
            for event in determine(timeline, protocol):
                sums.events += event.is_event
                sums.clabsi += event.is_clabsi
        seconds = process_time() - start
        gc.unfreeze()
        unit = 1024 * 1024 if sys.platform == "darwin" else 1024
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / unit
        print(
            f"{size:>4}x {sums.children:>9,} {sums.line_days:>10,} {sums.blood:>8,} "
            f"{sums.events:>7,} {sums.clabsi:>7,} {seconds:>8.2f} "
            f"{seconds / sums.blood * 1e6:>12.1f} {peak:>8.0f}"
        )


if __name__ == "__main__":
    main()
