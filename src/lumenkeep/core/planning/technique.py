"""How the antiseptic is used: the agent's own way, and never less than the site asks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model import Elapsed, whole_or_not
from lumenkeep.core.planning.plan import Technique

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.policy import LiveRule, RuleBook, Situation
    from lumenkeep.core.policy.child_rules import FilmSize
    from lumenkeep.core.policy.rules import Agent, SiteRule


def site_rules_that_may_apply(
    book: RuleBook, situation: Situation
) -> tuple[list[LiveRule[SiteRule]], list[LiveRule[SiteRule]]]:
    """Return the site rules that hold, and those that an unknown site leaves open."""
    held, open_ = [], []
    for live in book.site_rules:
        truth = live.when.truth(situation)
        if truth is True:
            held.append(live)
        elif truth is None:
            open_.append(live)
    return held, open_


def technique(
    book: RuleBook,
    agent_id: str,
    site_rules: list[LiveRule[SiteRule]],
    films: Sequence[FilmSize] = (),
) -> Technique:
    """Return how ``agent_id`` is used where ``site_rules`` hold or may hold.

    Times are the longest that any of them asks for; the area is that of the films that
    suit the child or may, or the agent's own.
    """
    agent = book.policy.agents[agent_id]
    swabs = _count(book, agent.swabs)
    each = _seconds(book, agent.seconds_per_swab) if agent.seconds_per_swab else None
    scrub = each * swabs if each is not None else None
    dry = _seconds(book, agent.dry)
    because, rules = [agent.because], [agent.id]
    for live in site_rules:
        least = _seconds(book, live.rule.scrub)
        if scrub is None or scrub < least:
            scrub = least
            each = -(-least // swabs)
        dry = max(dry, _seconds(book, live.rule.dry))
        because.append(live.rule.because)
        rules.append(live.rule.id)
    return Technique(
        agent=agent_id,
        label=agent.label,
        swabs=swabs,
        seconds_per_swab=each,
        scrub_s=scrub,
        dry_s=dry,
        dry_judgement=agent.dry_judgement,
        motion=agent.motion,
        motion_words=agent.motion_words,
        area_mm=_area(book, agent, films),
        residue_removed_with=agent.residue,
        residue_words=agent.residue_words,
        helper=agent.helper,
        because=tuple(because),
        rules=tuple(rules),
    )


def films_that_may_suit(book: RuleBook, situation: Situation) -> tuple[FilmSize, ...]:
    """Return the sizes of film for the child: one, or each that what is unknown leaves."""
    return tuple(
        live.rule for live in book.films if live.when.truth(situation) is not False
    )


def film_in_words(book: RuleBook, films: Sequence[FilmSize]) -> str | None:
    """Return the size of the film to lay out; None where no one size is sure."""
    if len(films) != 1:
        return None
    width, height = _mm(book, films[0].width), _mm(book, films[0].height)
    return f"{whole_or_not(width)} × {whole_or_not(height)} mm"


def _area(
    book: RuleBook, agent: Agent, films: Sequence[FilmSize]
) -> tuple[float, float]:
    if not films:
        return _mm(book, agent.area_low), _mm(book, agent.area_high)
    return (
        min(_mm(book, film.area_low) for film in films),
        max(_mm(book, film.area_high) for film in films),
    )


def _count(book: RuleBook, number: str) -> int:
    return int(book.value(number))  # type: ignore[arg-type]  # its unit is count


def _mm(book: RuleBook, number: str) -> float:
    return float(book.value(number))  # type: ignore[arg-type]  # its unit is a length


def _seconds(book: RuleBook, number: str) -> int:
    value = book.value(number)
    if isinstance(value, Elapsed):
        return value.seconds
    raise TypeError(number)
