"""Frozen values of the trade: child, line, dressing, entry, person, times, quantities."""

from lumenkeep.core.model.case import (
    Case,
    Child,
    Dressing,
    Finding,
    InfusionSet,
    Line,
    People,
    Person,
    Weight,
    mass_at,
    skin_at_site,
)
from lumenkeep.core.model.chart import birth_from_text
from lumenkeep.core.model.facts import (
    NEVER_CHARTED,
    NOT_GIVEN,
    SAID_UNKNOWN,
    Fact,
    Unknown,
    is_known,
    known_or_none,
)
from lumenkeep.core.model.quantities import (
    Gestation,
    age_in_words,
    grams_in_words,
    weeks_and_days,
    whole_or_not,
)
from lumenkeep.core.model.times import Birth, CalendarSpan, Elapsed, Span, utc

__all__ = [
    "NEVER_CHARTED",
    "NOT_GIVEN",
    "SAID_UNKNOWN",
    "Birth",
    "CalendarSpan",
    "Case",
    "Child",
    "Dressing",
    "Elapsed",
    "Fact",
    "Finding",
    "Gestation",
    "InfusionSet",
    "Line",
    "People",
    "Person",
    "Span",
    "Unknown",
    "Weight",
    "age_in_words",
    "birth_from_text",
    "grams_in_words",
    "is_known",
    "known_or_none",
    "mass_at",
    "skin_at_site",
    "utc",
    "weeks_and_days",
    "whole_or_not",
]
