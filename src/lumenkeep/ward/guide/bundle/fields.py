"""What is called out during a guide, as fields: which step asks, what may be answered.

A procedure's steps name what they chart in plain words. Some of those words are a field
of the entry, some the guide records itself (its clock, its looks), and the rest is
noted beside the entry.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from lumenkeep.core.asepsis.act import Act
    from lumenkeep.core.planning.plan import ChartItem

Field = dict[str, Any]
TYPES = {"length": "mm", "count": "count", "choice": "choice", "text": "text"}
YES_NO = {"yes": "Yes", "no": "No"}
NOTED = "noted-"
"""How the fields begin that are noted beside the entry."""

IN_THE_ENTRY: Mapping[str, str] = {
    "external length": "chart-external-length",
    "stitches": "chart-stitches",
    "stitches in": "chart-stitches",
    "site": "chart-site",
    "skin": "skin",
    "arm position": "chart-arm",
    "findings": "findings",
    "cause": "cause",
}
"""Words of the steps for fields of the entry."""
BY_THE_GUIDE = frozenset(
    {
        "start", "end", "seconds", "swabs", "pressure time", "paused at", "off at",
        "on at", "running again at", "found at", "dry by look", "each look",
        "dry by look after the saline", "both names", "everything on the list",
        "difference", "due", "glove size", "cream on at", "cream off at",
    }
)  # fmt: skip
"""Words for what the guide knows by itself: times, looks, people, the plan."""
_MM = frozenset({"length", "length again", "length, after", "length, if in doubt"})
_COUNTS = frozenset({"count", "stitches out", "counts"})
_YES_NO = frozenset(
    {
        "agreement", "blood", "blood return", "blood return, yes or no", "moved",
        "no pooling", "rates checked by two", "sealed", "traced",
    }
)  # fmt: skip


def field(
    name: str,
    label: str,
    kind: str,
    *,
    required: bool = False,
    choices: Mapping[str, str] | None = None,
    previous: str | None = None,
    value: str | None = None,
) -> Field:
    """Return one field as it is carried to the bedside.

    Parameters
    ----------
    kind
        "mm", "count", "choice", "several" or "text".
    choices
        Labels by value.
    previous
        What was charted last, in words.
    value
        What is filled in already.
    """
    return {
        "field": name,
        "label": label,
        "type": kind,
        "choices": [
            {"value": word, "label": label} for word, label in (choices or {}).items()
        ],
        "required": required,
        "previous": previous,
        "value": value,
    }


def item_field(item: ChartItem, previous: str | None) -> Field:
    """Return the field of something that the policy wants charted."""
    choices = {word: word[:1].upper() + word[1:] for word in item.choices}
    if item.kind == "yes-no":
        choices = YES_NO
    found = field(
        item.id,
        item.label,
        TYPES.get(item.kind, "choice"),
        required=item.required,
        choices=choices,
        previous=previous,
    )
    if item.low is not None and item.high is not None:
        found["low"], found["high"] = item.low, item.high
    return found


def charted_at(act: Act, entry: Mapping[str, Field]) -> list[Field]:
    """Return the fields that one step asks for.

    Parameters
    ----------
    entry
        Fields of the entry, by name.
    """
    found = []
    for word in act.step.charted:
        name = IN_THE_ENTRY.get(word)
        if name is not None and name in entry:
            # It must be filled in by the end, and not before the next step.
            found.append({**entry[name], "required": False})
        elif word not in BY_THE_GUIDE:
            found.append(noted(word))
    return found


def noted(word: str) -> Field:
    """Return the field of something noted beside the entry."""
    slug = "".join(c if c.isalnum() else "-" for c in word).strip("-")
    label = word[:1].upper() + word[1:]
    kind = "mm" if word in _MM else "count" if word in _COUNTS else "text"
    if word in _YES_NO:
        return field(NOTED + slug, label, "choice", choices=YES_NO)
    return field(NOTED + slug, label, kind)


def with_first_step(
    fields: Iterable[Field], acts: Sequence[Act]
) -> list[dict[str, Any]]:
    """Return the entry's fields, each with the step at which it is first called out."""
    first: dict[str, str] = {}
    for act in acts:
        for word in act.step.charted:
            if word in IN_THE_ENTRY:
                first.setdefault(IN_THE_ENTRY[word], act.step.id)
    return [{**one, "from": first.get(one["field"])} for one in fields]
