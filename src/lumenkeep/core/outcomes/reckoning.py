"""One pass over a timeline: each draw of blood is settled once, in order of collection."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, TypeVar

from lumenkeep.core.outcomes import questions
from lumenkeep.core.outcomes.admissions import admissions_of, belonging, supposed
from lumenkeep.core.outcomes.blood import (
    CommensalPair,
    Draw,
    culture_days,
    draws_of,
    is_overruled,
    pair_of,
)
from lumenkeep.core.outcomes.derivation import Event, Steps
from lumenkeep.core.outcomes.elsewhere import (
    OtherSource,
    say_what_was_looked_at,
    source_elsewhere,
)
from lumenkeep.core.outcomes.primary import Primary, judge
from lumenkeep.core.outcomes.signs import criterion_met

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from lumenkeep.core.outcomes.admissions import Admission
    from lumenkeep.core.outcomes.one_run import RunWays
    from lumenkeep.core.outcomes.timeline import Timeline

Dated = TypeVar("Dated")
ONE_DAY = timedelta(days=1)


def _by_day(
    found: Iterable[Dated], day_of: Callable[[Dated], date]
) -> dict[date, list[Dated]]:
    days: dict[date, list[Dated]] = {}
    for one in found:
        days.setdefault(day_of(one), []).append(one)
    return days


class Reckoning:
    """The state of one pass: events so far, and what is settled.

    Parameters
    ----------
    timeline
        One child.
    ways
        The protocol, and the side taken where its data asks.
    """

    def __init__(self, timeline: Timeline, ways: RunWays) -> None:
        self.timeline, self.ways = timeline, ways
        self.protocol = ways.protocol
        self.draws = draws_of(timeline, ways)
        self.admissions = self._admissions()
        self.signs = _by_day(timeline.signs, lambda sign: sign.at.day)
        self.counts = _by_day(timeline.counts, lambda count: count.at.day)
        self.cultured = culture_days(timeline)
        self.by_day = _by_day(self.draws, lambda draw: draw.day)
        self.primaries: list[Primary] = []
        self.settled: dict[tuple[str, ...], Event | Primary] = {}
        self.unmet: dict[tuple[str, ...], tuple[CommensalPair, Steps]] = {}

    def _admissions(self) -> tuple[Admission, ...]:
        """Return the admissions told, or as this run supposes where none is."""
        if self.timeline.stays:
            return admissions_of(self.timeline)
        taken = [draw.day for draw in self.draws]
        may_be = supposed(self.timeline, taken, self.protocol)
        answer = self.ways.choose(questions.stays(may_be)) if may_be else 0
        if not answer:
            return ()
        admission = may_be[answer - 1]
        self.ways.born_by = min(self.ways.born_by, admission.first)
        return (admission,)

    def events(self) -> tuple[Event, ...]:
        """Return one event for each group of draws, in order of collection."""
        for draw in self.draws:
            self._bar(draw)
        usable = [draw for draw in self.draws if draw.ids not in self.settled]
        for draw in usable:
            self._attribute(draw)
        for draw in sorted(usable, key=self._turn):
            if draw.ids not in self.settled:
                self._settle(draw)
        for draw in usable:
            if draw.ids not in self.settled:
                self._leave(draw)
        return self._closed()

    def _closed(self) -> tuple[Event, ...]:
        found: dict[int, Event] = {}
        for draw in self.draws:
            settled = self.settled[draw.ids]
            if id(settled) not in found:
                found[id(settled)] = (
                    settled.closed(self.timeline, self.ways)
                    if isinstance(settled, Primary)
                    else self._beside_a_timeframe(draw, settled)
                )
        return tuple(found.values())

    def _beside_a_timeframe(self, draw: Draw, event: Event) -> Event:
        """Say of secondary blood that it joins no primary event, though one runs."""
        running = [
            primary
            for primary in self.primaries
            if primary.repeat[0] <= draw.day <= primary.repeat[1]
        ]
        if event.type != "secondary" or not running:
            return event
        steps = Steps(list(event.steps))
        steps.because(
            "R12",
            f"The repeat timeframe of the event of {running[-1].id} runs too: blood that "
            "belongs elsewhere is not added to it.",
            draw,
        )
        return replace(event, steps=tuple(steps.found))

    def _turn(self, draw: Draw) -> tuple[object, ...]:
        """Of one day a pathogen goes first."""
        has_pathogen = bool(draw.of_role(self.ways, "pathogen"))
        return draw.day, not has_pathogen, draw.clock, draw.ids

    def _none(
        self, draws: Sequence[Draw], steps: Steps, window: tuple[date, date] | None
    ) -> None:
        names = dict.fromkeys(taxon.name for draw in draws for taxon in draw.taxa)
        event = Event(
            tuple(name for draw in draws for name in draw.ids),
            "none",
            window=window,
            organism=", ".join(names),
            steps=tuple(steps.found),
        )
        for draw in draws:
            self.settled[draw.ids] = event

    def _bar(self, draw: Draw) -> None:
        """Settle a molecular result that a culture near it takes the place of."""
        if is_overruled(draw, self.cultured, self.protocol):
            steps = Steps()
            steps.because(
                "R30",
                "Blood was also taken for culture near it: only the culture counts.",
                draw,
            )
            self._none([draw], steps, None)

    def _around(self, draw: Draw, *, before: bool) -> list[Draw]:
        """Return the other draws of its and the next day, and of the one before."""
        gap = self.protocol.count("pair-apart")
        start = -gap if before else 0
        days = [draw.day + step * ONE_DAY for step in range(start, gap + 1)]
        return [
            other
            for day in days
            for other in self.by_day.get(day, ())
            if other is not draw
        ]

    def _near(self, draw: Draw) -> list[Draw]:
        """Return the other unsettled draws of the same and the next day."""
        around = self._around(draw, before=False)
        return [other for other in around if other.ids not in self.settled]

    # ------------------------------------------------ infection elsewhere

    def _attribute(self, draw: Draw) -> None:
        """Settle a draw that is secondary to an infection elsewhere."""
        if not self.timeline.other_infections or self._is_never(draw):
            return
        near = self._around(draw, before=True)
        has_partner = bool(pair_of(draw, near, self.ways)) or any(
            pair_of(other, [draw], self.ways) for other in near
        )
        source = source_elsewhere(
            draw,
            self.timeline,
            self.admissions,
            self.ways,
            has_partner=has_partner,
        )
        if source is not None:
            self._settle_secondary(draw, source)

    def _is_never(self, draw: Draw) -> bool:
        return all(self.ways.role(taxon) == "never" for taxon in draw.taxa)

    def _settle_secondary(self, draw: Draw, source: OtherSource) -> None:
        source.steps.because(
            "R12", "A secondary bloodstream infection starts no repeat timeframe."
        )
        self.settled[draw.ids] = Event(
            draw.ids,
            "secondary",
            organism=", ".join(taxon.name for taxon in draw.taxa),
            steps=tuple(source.steps.found),
        )

    # ------------------------------------------------ primary infection

    def _settle(self, draw: Draw) -> None:
        pathogens = draw.of_role(self.ways, "pathogen")
        if pathogens:
            beside = [
                other
                for other in self._near(draw)
                if other.day == draw.day and other.of_role(self.ways, "pathogen")
            ]
            draws = (draw, *sorted(beside, key=lambda other: (other.clock, other.ids)))
            steps = Steps()
            steps.because(
                "R15", f"{pathogens[0].name} is a recognised pathogen.", *draws
            )
            self._primary(draws, "1", draw.day, pathogens[0].name, steps)
            return
        pair = pair_of(draw, self._near(draw), self.ways)
        if pair is None:
            return
        steps = Steps()
        steps.because(
            "R18",
            f"{pair.organism.name} was drawn on separate occasions.",
            *pair.draws,
        )
        for partner in pair.common[1:]:
            if partner.name != pair.common[0].name:
                names = f"{pair.common[0].name} and {partner.name}"
                steps.because("R19", f"{names} match.")
        met = criterion_met(draw.day, self.signs, self.ways, steps)
        if met is None:
            for one in pair.draws:  # each tells of the first pair it is in
                self.unmet.setdefault(one.ids, (pair, steps))
            return
        # A partner that grew a pathogen too joins by itself, so that the event is
        # named by the pathogen (R15) and not by the commensal alone.
        plain = tuple(
            one
            for one in pair.draws
            if one is draw or not one.of_role(self.ways, "pathogen")
        )
        self._primary(plain, met.criterion, met.event_on, pair.organism.name, steps)

    def _primary(
        self,
        draws: tuple[Draw, ...],
        criterion: str,
        event_on: date,
        organism: str,
        steps: Steps,
    ) -> None:
        """Make a new event, or add the blood to the one whose timeframe runs."""
        window = self.protocol.window(draws[0].day)
        days = (draws[0].day, event_on)
        home = belonging(self.admissions, event_on, self.protocol)
        steps.because(
            "R10", f"The infection window is {window[0]} to {window[1]}.", draws[0]
        )
        for earlier in reversed(self.primaries):
            if earlier.repeat[1] < event_on:
                break
            if earlier.takes_in(days, home):
                self._add(earlier, draws, criterion, organism, window, steps)
                return
        steps.because("R11", f"The date of event is {event_on}.")
        say_what_was_looked_at(draws[0], self.timeline, self.ways, steps)
        event = Primary(
            draws,
            criterion,
            event_on,
            window,
            self.protocol.repeat(event_on),
            home,
            organism,
            steps,
        )
        judge(event, self.timeline, self.counts, self.ways)
        self.primaries.append(event)
        for draw in draws:
            self.settled[draw.ids] = event

    def _add(
        self,
        earlier: Primary,
        draws: tuple[Draw, ...],
        criterion: str,
        organism: str,
        window: tuple[date, date],
        steps: Steps,
    ) -> None:
        steps.because(
            "R12",
            f"It lies in the repeat timeframe {earlier.repeat[0]} to "
            f"{earlier.repeat[1]} of the event of {earlier.id}: no new event.",
        )
        earlier.joined_by(draws, criterion, organism, self.ways)
        event = Event(
            tuple(name for draw in draws for name in draw.ids),
            "none",
            window=window,
            repeat=earlier.repeat,
            added_to=earlier.id,
            is_healthcare_associated=earlier.is_associated,
            location=earlier.location,
            organism=organism,
            steps=tuple(steps.found),
        )
        for draw in draws:
            self.settled[draw.ids] = event

    # ------------------------------------------------ nothing at all

    def _leave(self, draw: Draw) -> None:
        """Settle a draw that makes nothing, with the reason."""
        if draw.ids in self.unmet:
            pair, steps = self.unmet[draw.ids]
            rest = [other for other in pair.draws if other.ids not in self.settled]
            window = self.protocol.window(pair.first.day)
            steps.because(
                "R10",
                f"The infection window is {window[0]} to {window[1]}.",
                pair.first,
            )
            self._none(rest, steps, window)
            return
        steps = Steps()
        for taxon in draw.taxa:
            role = self.ways.role(taxon)
            if role == "never":
                steps.because("R14", f"{taxon.name} counts for no definition.", draw)
            elif role == "secondary-only":
                steps.because(
                    "R14", f"{taxon.name} can make no primary infection.", draw
                )
        if draw.of_role(self.ways, "commensal"):
            self._say_alone(draw, steps)
        self._none([draw], steps, None)

    def _say_alone(self, draw: Draw, steps: Steps) -> None:
        last = draw.day + self.protocol.days("pair-apart")
        first = draw.day - self.protocol.days("pair-apart")
        steps.because(
            "R18", "A common commensal without a matching draw sets no window.", draw
        )
        if len(draw.specimens) > 1:
            steps.because("R18", "Bottles of one draw are one specimen.", draw)
        steps.otherwise(
            "R18",
            f"the same organism grew in another draw from {first} to {last}, and a sign "
            "lay in the window, the commensal criterion would be met.",
        )
