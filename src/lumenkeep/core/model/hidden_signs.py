"""Drop from texts what cannot be seen and changes what is seen: one rule for all ways in.

Forms, guides and chart files all hold texts that a screen shows later.
"""

from __future__ import annotations

import re
from typing import Any

_HIDDEN = re.compile(
    "["
    r"\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f"  # control signs, but for tabs and line ends
    r"\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"  # turn signs round: bed 12 reads 21
    r"\u200b\u2060-\u2064\ufeff\ufff9-\ufffb"  # take no room
    r"\U000e0000-\U000e007f"  # letters that nobody sees
    "]"
)
"""Signs that join letters (U+200C, U+200D) stay: some scripts are written with them."""


def without_hidden_signs(text: str) -> str:
    """Return a text without the signs that nobody sees."""
    return _HIDDEN.sub("", text)


def all_without_hidden_signs(value: Any) -> Any:
    """Return a value as JSON has them, each text in it without hidden signs."""
    if isinstance(value, str):
        return without_hidden_signs(value)
    if isinstance(value, dict):
        return {
            without_hidden_signs(key): all_without_hidden_signs(one)
            for key, one in value.items()
        }
    if isinstance(value, list | tuple):
        return [all_without_hidden_signs(one) for one in value]
    return value
