"""The key of a form as sent: the form's own, and what was typed into it.

By the first part a form that is sent twice is known again; by the second, whether it
still says the same. Only then is what was written its answer.
"""

from __future__ import annotations

import json
from hashlib import sha256
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

SEPARATOR, AFTER_SEPARATOR = "/", "0"
"""The second is the next sign in order, so that a range holds one form's keys."""
LENGTH = 32


def form_key(form: str, address: str, told: Mapping[str, Sequence[str]]) -> str:
    """Return the key under which what was sent is written.

    Parameters
    ----------
    form
        The form's own key.
    address
        Where it was sent to, which names child, line and kind.
    told
        Every value, by the name of its field.
    """
    said = json.dumps([address, sorted((k, list(v)) for k, v in told.items())])
    return f"{_digest(form)}{SEPARATOR}{_digest(said)}"


def keys_of_the_form(key: str) -> tuple[str, str] | None:
    """Return between which two keys lies all that was sent of the same form.

    None for a key that says nothing of what was sent, as that of a guide's run.
    """
    form, separator, _ = key.partition(SEPARATOR)
    return (form + SEPARATOR, form + AFTER_SEPARATOR) if separator else None


def _digest(text: str) -> str:
    return sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:LENGTH]
