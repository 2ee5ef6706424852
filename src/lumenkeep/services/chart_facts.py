"""Chart a fact of the child: weight, sensitivities, skin, birth."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.errors import ChartError, Fault
from lumenkeep.model import mass_at
from lumenkeep.model.facts import is_known
from lumenkeep.model.words import SENSITIVITIES, SKIN
from lumenkeep.services.line_at_hand import LineAtHand, line_at_hand
from lumenkeep.services.ports import Draft
from lumenkeep.services.read_birth import read_birth
from lumenkeep.services.typed_values import Typed

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import datetime

    from lumenkeep.model.entry import Entry
    from lumenkeep.services.ports import Chart, Clock, Policies

FACTS = ("weight", "sensitivities", "skin", "birth")
SEEN_AT, WEIGHT, SKIN_STATE = "seen-at", "weight-g", "skin"
NONE_KNOWN = "none"

# Not clinical limits: beyond them the unit was mistaken (kilograms for grams).
LIGHTEST_G, HEAVIEST_G = 200, 300_000
UNLIKELY_TIMES = 3


def chart_fact(
    chart: Chart,
    policies: Policies,
    clock: Clock,
    *,
    line: str,
    fact: str,
    typed: Mapping[str, str],
    by: str,
    chosen: Collection[str] = (),
    submission: str | None = None,
) -> Sequence[Entry]:
    """Write a fact of the line's child; every line of the child follows.

    Parameters
    ----------
    line
        Key of one of the child's lines.
    fact
        One of `FACTS`.
    typed
        ``seen-at`` (empty: now), and by fact: ``weight-g``; ``skin``; ``born`` (an
        instant, or a date where the time is not on record) and ``gestation``.
    chosen
        Sensitivities; ``["none"]`` says that none is known.

    Raises
    ------
    ChartError
        Every fault at once; ``chart-no-such-fact`` for an unknown fact.
    StoreError
        Nothing was written.
    """
    if before := chart.written(submission):
        return before
    if fact not in FACTS:
        raise ChartError(
            [
                Fault(
                    "chart-no-such-fact",
                    "This is no fact that is charted here.",
                    "fact",
                    "choose one of: " + ", ".join(FACTS),
                )
            ]
        )
    found = line_at_hand(chart, policies, line)
    now = clock.now()
    form = Typed(typed)
    at = form.instant(SEEN_AT, "Seen at", found.ward.zone, now) or now
    body: dict[str, Any]
    if fact == "weight":
        body = {"g": read_weight(form, found, at)}
    elif fact == "sensitivities":
        body = {"known": _sensitivities(form, chosen)}
    elif fact == "skin":
        body = {"state": form.word(SKIN_STATE, "Skin at the site", SKIN, needed=True)}
    else:
        body = read_birth(form, found.ward.zone, now, needed=True)
    form.raise_faults()
    draft = Draft(found.record.child, None, fact, at, by, body)
    return chart.append(
        [draft],
        found.ward.policy_set,
        ward=found.ward.key,
        submission=submission,
    )


def read_weight(form: Typed, found: LineAtHand, at: datetime) -> float | None:
    """Return the weight in grams; a fault where the unit must have been mistaken."""
    grams = form.number(WEIGHT, "Weight", "g", LIGHTEST_G, HEAVIEST_G, needed=True)
    last = mass_at(found.record.state.case.child, at)
    if grams is None or not is_known(last):
        return grams
    if not last.grams / UNLIKELY_TIMES <= grams <= last.grams * UNLIKELY_TIMES:
        form.fault(
            "out-of-range",
            f"Weight: {grams:g} g does not go with the last one, {last.grams:g} g.",
            WEIGHT,
            "check the unit and weigh again; if the last one is wrong, correct it first",
        )
        return None
    return grams


def _sensitivities(form: Typed, chosen: Collection[str]) -> list[str]:
    if not chosen:
        form.fault(
            "missing",
            "Nothing is chosen.",
            "sensitivities",
            "choose what is not tolerated, or say that none is known",
        )
        return []
    if NONE_KNOWN in chosen:
        if len(set(chosen)) > 1:
            form.fault(
                "contradiction",
                "None is known, and yet one is chosen.",
                "sensitivities",
                "take one of the two away",
            )
        return []
    return form.words("sensitivities", "Sensitivities", chosen, tuple(SENSITIVITIES))
