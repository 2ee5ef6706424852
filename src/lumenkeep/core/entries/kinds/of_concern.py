"""What people do about a concern; the concern itself is computed, never stored."""

from __future__ import annotations

from lumenkeep.core.entries.answers import CONCERNS, TEXT, Held, Offered, Text, Word
from lumenkeep.core.entries.kind import LINE, NOTE, Field, Kind

OUTCOMES = {
    "tip-confirmed": "Tip checked and in place: lengths are compared with this one "
    "from now on",
    "settled": "Treated, and settled",
    "line-out": "Line taken out",
    "mistake": "Measured or charted by mistake",
    "left": "Looked at, and left as it is on purpose",
}
"""How a concern may end."""
_OF_ONE = (
    Field("concern", "Which concern", Offered(CONCERNS), is_shown=False),
    Field("label", "Concern", Held(TEXT), said="", is_asked=False),
    Field("says", "What it said", Held(TEXT), is_shown=False, is_asked=False),
)

OF_CONCERN = (
    Kind(
        "concern-raised",
        "Concern raised",
        LINE,
        (
            Field("what", "What worries you?", Text(300), required=True, said=""),
            NOTE,
        ),
    ),
    Kind("concern-acknowledged", "Concern taken on", LINE, (*_OF_ONE, NOTE)),
    Kind(
        "concern-handed-on",
        "Concern handed on",
        LINE,
        (
            *_OF_ONE,
            Field("to", "To whom", Held(TEXT), required=True, is_shown=False),
            NOTE,
        ),
    ),
    Kind(
        "concern-closed",
        "Concern closed",
        LINE,
        (
            *_OF_ONE,
            Field(
                "outcome", "How it ended", Word(OUTCOMES), required=True, said="outcome"
            ),
            NOTE,
        ),
    ),
)
