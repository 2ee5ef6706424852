"""A shipped set with one place of its files written otherwise."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lumenkeep.core.policy.archive import policy_from_texts, set_texts

if TYPE_CHECKING:
    from lumenkeep.core.policy import Policy


def changed(place: str, old: str, new: str, *, base: str = "quillmere") -> Policy:
    """Return a set with ``old`` once replaced in a file, "layer/file" or its end.

    The text must be found, so that a test cannot lose what it changes.
    """
    layer, _, name = place.partition("/")
    layers = []
    found = False
    for one in set_texts(base):
        files = dict(one.files)
        if one.name == layer:
            assert old in files[name], f"{place} does not hold {old!r}"
            files[name] = files[name].replace(old, new, 1)
            found = True
        layers.append(replace(one, files=tuple(sorted(files.items()))))
    assert found, f"there is no layer {layer}"
    return policy_from_texts(layers)


def with_more(place: str, text: str, *, base: str = "quillmere") -> Policy:
    """Return a set with text added at the end of a file."""
    layer, _, name = place.partition("/")
    texts = {one.name: dict(one.files) for one in set_texts(base)}
    old = texts[layer][name]
    return changed(place, old, f"{old}\n{text}\n", base=base)
