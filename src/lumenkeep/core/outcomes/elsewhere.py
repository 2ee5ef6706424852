"""Whether blood belongs to an infection elsewhere: the secondary attribution period."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes import questions
from lumenkeep.core.outcomes.admissions import Admission, belonging
from lumenkeep.core.outcomes.derivation import Steps
from lumenkeep.core.outcomes.timeline import OtherInfection, Timeline

if TYPE_CHECKING:
    from datetime import date

    from lumenkeep.core.outcomes.blood import Draw
    from lumenkeep.core.outcomes.one_run import RunWays
    from lumenkeep.core.outcomes.organism_names import Taxon
    from lumenkeep.core.outcomes.protocol import Protocol


ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class OtherSource:
    """The infection that blood belongs to, and the way to that answer."""

    infection: OtherInfection
    steps: Steps


def attribution_period(
    infection: OtherInfection, admissions: tuple[Admission, ...], protocol: Protocol
) -> tuple[date, date | None]:
    """Return first and last day of the attribution period; None: while the stay lasts.

    It joins the infection's window and its repeat timeframe, so it is 14 to 17 days
    long; a surgical site infection has a period of its own. Without a window it is
    taken as short as it can be.
    """
    event_on = infection.event_on
    if infection.kind in protocol.words["surgical"]:
        return (
            event_on - protocol.days("surgical-before"),
            event_on + protocol.days("surgical-after"),
        )
    start = infection.window[0] if infection.window else event_on
    if infection.kind in protocol.words["endocarditis"]:
        home = belonging(admissions, event_on, protocol).admission
        return start, home.last if home else protocol.repeat(event_on)[1]
    return start, protocol.repeat(event_on)[1]


def source_elsewhere(
    draw: Draw,
    timeline: Timeline,
    admissions: tuple[Admission, ...],
    ways: RunWays,
    *,
    has_partner: bool,
) -> OtherSource | None:
    """Return the infection elsewhere that a draw is secondary to, if any.

    Parameters
    ----------
    has_partner
        Whether the draw's commensal was drawn again on a separate occasion; only
        necrotising enterocolitis asks for it.
    """
    for told in timeline.other_infections:
        infection = _with_window(told, draw, ways)
        if infection.kind in ways.protocol.words["ventilator"]:
            steps = _of_ventilator(draw, infection, admissions, ways)
        else:
            steps = _attributed(
                draw, infection, admissions, ways, has_partner=has_partner
            )
        if steps is not None:
            return OtherSource(infection, steps)
    return None


def _with_window(
    infection: OtherInfection, draw: Draw, ways: RunWays
) -> OtherInfection:
    """Return an infection whose window nobody told with the one that this run takes.

    Its date of event is the first day in the window with an element of it, so the
    window began at most so many days before. Blood of a day that no such window tells
    from the others needs no answer.
    """
    if (
        infection.window is not None
        or infection.kind in ways.protocol.words["surgical"]
    ):
        return infection
    before = ways.protocol.count("window-before")
    after = ways.protocol.count("window-after")
    passed = (draw.day - infection.event_on).days
    decides = -before <= passed < 0
    may_be_element = infection.blood_is_element is not False
    if may_be_element and not infection.organisms:
        decides = -before <= passed <= before + after
    start = 0
    if decides:
        start = ways.choose(questions.window(infection, before))
    first = infection.event_on - start * ONE_DAY
    return replace(infection, window=(first, first + (before + after) * ONE_DAY))


def _of_ventilator(
    draw: Draw,
    infection: OtherInfection,
    admissions: tuple[Admission, ...],
    ways: RunWays,
) -> Steps | None:
    """Ask a person about blood near a ventilator event, whose rule is not held here."""
    low, high = attribution_period(infection, admissions, ways.protocol)
    is_near = low <= draw.day and (high is None or draw.day <= high)
    if not is_near or not ways.choose(questions.ventilator(infection)):
        return None
    steps = Steps()
    steps.because("R21", "It belongs to the ventilator event.", infection, draw)
    return steps


def _attributed(
    draw: Draw,
    infection: OtherInfection,
    admissions: tuple[Admission, ...],
    ways: RunWays,
    *,
    has_partner: bool,
) -> Steps | None:
    low, high = attribution_period(infection, admissions, ways.protocol)
    is_inside = low <= draw.day and (high is None or draw.day <= high)
    period = f"{low} to {high or 'the end of the stay'}"
    if infection.kind in ways.protocol.words["necrotising"]:
        is_usable = has_partner or bool(draw.of_role(ways, "pathogen"))
        return (
            _necrotising(draw, infection, period) if is_inside and is_usable else None
        )
    usable = _usable(draw, infection, ways)
    may_be = _may_be_element(infection, draw.day)
    if not usable or not (is_inside or may_be):
        return None
    matched = _matched(usable, infection, ways)
    told = matched is not None and is_inside
    if may_be and (matched is not None or not infection.organisms):
        # Where the site's own specimen ties the blood, nobody need say more.
        is_element = infection.blood_is_element
        if is_element is None:
            is_element = not told and bool(ways.choose(questions.element(infection)))
        if is_element:
            return _by_element(draw, infection)
    return _by_match(draw, infection, str(matched), period) if told else None


def _may_be_element(infection: OtherInfection, day: date) -> bool:
    """Whether blood of a day may be an element: inside the window, and not denied."""
    window = infection.window
    in_window = window is not None and window[0] <= day <= window[1]
    return in_window and infection.blood_is_element is not False


def _necrotising(draw: Draw, infection: OtherInfection, period: str) -> Steps:
    steps = Steps()
    steps.because(
        "R13", f"The blood was drawn inside its attribution period, {period}.", draw
    )
    steps.because(
        "R21",
        "Necrotising enterocolitis asks for no matching site specimen.",
        infection,
    )
    return steps


def _by_element(draw: Draw, infection: OtherInfection) -> Steps:
    steps = Steps()
    first, last = infection.window or (draw.day, draw.day)
    steps.because(
        "R21",
        f"The blood is itself an element of that infection, inside its window "
        f"{first} to {last}.",
        infection,
        draw,
    )
    return steps


def _by_match(draw: Draw, infection: OtherInfection, grew: str, period: str) -> Steps:
    steps = Steps()
    steps.because(
        "R13",
        f"The blood was drawn inside its attribution period, {period}.",
        infection,
        draw,
    )
    steps.because(
        "R21", f"It grew {grew}, which the site's specimen grew too.", infection
    )
    steps.otherwise(
        "R13", f"it had been drawn outside {period}, it would be a primary infection."
    )
    return steps


def _usable(draw: Draw, infection: OtherInfection, ways: RunWays) -> tuple[Taxon, ...]:
    """Return the organisms of a draw that may tie it to an infection of this kind.

    Some count for no definition at all, and a yeast makes no urinary infection, be it
    matched or an element of one.
    """
    is_urinary = infection.kind in ways.protocol.words["urinary"]
    return tuple(
        taxon
        for taxon in draw.taxa
        if ways.role(taxon) != "never"
        and not (is_urinary and ways.on("urinary-barred", taxon))
    )


def _matched(
    usable: tuple[Taxon, ...], infection: OtherInfection, ways: RunWays
) -> str | None:
    """Return the organism of the blood that the site's specimen grew too."""
    if not infection.organisms_are_told:
        grew = ways.choose(questions.grew_elsewhere(infection))
        return usable[0].name if grew else None
    is_urinary = infection.kind in ways.protocol.words["urinary"]
    for text in infection.organisms:
        site = ways.taxon(text)
        if is_urinary and ways.on("urinary-barred", site):
            continue
        for taxon in usable:
            if ways.same(site, taxon):
                return taxon.name
    return None


def say_what_was_looked_at(
    draw: Draw, timeline: Timeline, ways: RunWays, steps: Steps
) -> None:
    """Add why no infection elsewhere takes the blood."""
    if not timeline.other_infections:
        steps.because("R21", "No infection elsewhere is stated.")
    for infection in timeline.other_infections:
        is_urinary = infection.kind in ways.protocol.words["urinary"]
        sites = [ways.taxon(text) for text in infection.organisms]
        if is_urinary and any(ways.on("urinary-barred", site) for site in sites):
            steps.because("R14", "Candida makes no urinary tract infection.", infection)
        steps.because("R21", "This infection does not take the blood.", infection, draw)
