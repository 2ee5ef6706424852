"""Whether blood belongs to an infection elsewhere: the secondary attribution period."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.outcomes.admissions import Admission, belonging
from lumenkeep.outcomes.derivation import Steps
from lumenkeep.outcomes.timeline import OtherInfection, Timeline

if TYPE_CHECKING:
    from datetime import date

    from lumenkeep.outcomes.blood import Draw
    from lumenkeep.outcomes.organism_names import Taxon
    from lumenkeep.outcomes.protocol import Protocol
    from lumenkeep.outcomes.ways import Ways


@dataclass(frozen=True, slots=True)
class Source:
    """The infection that blood belongs to, and the way to that answer."""

    infection: OtherInfection
    steps: Steps


def attribution_period(
    infection: OtherInfection, admissions: tuple[Admission, ...], protocol: Protocol
) -> tuple[date, date | None]:
    """Return first and last day of the attribution period; None: while the stay lasts.

    It joins the infection's window and its repeat timeframe, so it is 14 to 17 days
    long; a surgical site infection has a period of its own.
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
    ways: Ways,
    *,
    has_partner: bool,
) -> Source | None:
    """Return the infection elsewhere that a draw is secondary to, if any.

    Parameters
    ----------
    has_partner
        Whether the draw's commensal was drawn again on a separate occasion; only
        necrotising enterocolitis asks for it.
    """
    for infection in timeline.other_infections:
        if infection.kind in ways.protocol.words["ventilator"]:
            continue
        steps = _attributed(draw, infection, admissions, ways, has_partner=has_partner)
        if steps is not None:
            return Source(infection, steps)
    return None


def _attributed(
    draw: Draw,
    infection: OtherInfection,
    admissions: tuple[Admission, ...],
    ways: Ways,
    *,
    has_partner: bool,
) -> Steps | None:
    protocol, steps = ways.protocol, Steps()
    low, high = attribution_period(infection, admissions, protocol)
    is_inside = low <= draw.day and (high is None or draw.day <= high)
    period = f"its attribution period, {low} to {high or 'the end of the stay'}"
    if infection.kind in protocol.words["necrotising"]:
        is_usable = has_partner or bool(draw.of_role(ways, "pathogen"))
        if is_inside and is_usable:
            steps.because("R13", f"The blood was drawn inside {period}.", draw)
            steps.because(
                "R21",
                "Necrotising enterocolitis asks for no matching site specimen.",
                infection,
            )
            return steps
        return None
    usable = _usable(draw, infection, ways)
    if not usable:
        return None
    matched = _matched(usable, infection, ways)
    window = infection.window
    if infection.blood_is_element and window and window[0] <= draw.day <= window[1]:
        if matched is None and infection.organisms:
            return None
        steps.because(
            "R21",
            f"The blood is itself an element of that infection, inside its window "
            f"{window[0]} to {window[1]}.",
            infection,
            draw,
        )
        return steps
    if matched is None or not is_inside:
        return None
    steps.because("R13", f"The blood was drawn inside {period}.", infection, draw)
    steps.because(
        "R21", f"It grew {matched}, which the site's specimen grew too.", infection
    )
    steps.otherwise(
        "R13",
        f"it had been drawn outside {low} to {high or 'the end of the stay'}, "
        "it would be a primary infection.",
    )
    return steps


def _usable(draw: Draw, infection: OtherInfection, ways: Ways) -> tuple[Taxon, ...]:
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
    usable: tuple[Taxon, ...], infection: OtherInfection, ways: Ways
) -> str | None:
    """Return the organism of the blood that the site's specimen grew too."""
    is_urinary = infection.kind in ways.protocol.words["urinary"]
    for text in infection.organisms:
        site = ways.protocol.names.taxon(text)
        if is_urinary and ways.on("urinary-barred", site):
            continue
        for taxon in usable:
            if ways.same(site, taxon):
                return taxon.name
    return None


def say_what_was_looked_at(
    draw: Draw, timeline: Timeline, ways: Ways, steps: Steps
) -> None:
    """Add why no infection elsewhere takes the blood."""
    if not timeline.other_infections:
        steps.because("R21", "No infection elsewhere is stated.")
    for infection in timeline.other_infections:
        if infection.kind in ways.protocol.words["ventilator"]:
            steps.missing(
                "R21",
                "whether this belongs to the ventilator event, which has a rule of "
                "its own: ask a person.",
            )
            continue
        is_urinary = infection.kind in ways.protocol.words["urinary"]
        sites = [ways.protocol.names.taxon(text) for text in infection.organisms]
        if is_urinary and any(ways.on("urinary-barred", site) for site in sites):
            steps.because("R14", "Candida makes no urinary tract infection.", infection)
        steps.because("R21", "This infection does not take the blood.", infection, draw)
