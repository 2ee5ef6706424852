"""What is called out during a guide, and which of it would turn the plan.

A procedure's steps name what they chart in plain words. Some of those words are a field
of the entry, some the guide records itself (its clock, its looks), and the rest is
noted beside the entry.

A plan is made before the site is bare. Skin that is found broken bars what the next
steps would put on it, and a tablet without a network cannot ask for a new plan: what
each word would change travels along.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries import every_kind
from lumenkeep.core.entries.fold import LineFold
from lumenkeep.core.model.words import YES_NO
from lumenkeep.core.planning import plan_change
from lumenkeep.errors import LumenkeepError

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

    from lumenkeep.core.asepsis.act import Act
    from lumenkeep.core.planning import Plan
    from lumenkeep.core.planning.plan import ChartItem
    from lumenkeep.ward.chart.line_at_hand import LineAtHand

Field = dict[str, Any]
TYPES = {"length": "mm", "count": "count", "choice": "choice", "text": "text"}
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


OF_A_CHANGE = "dressing-change"
STOPS = "The policy gives no plan for this: stop, cover, and call."


def turns_of(
    found: LineAtHand, plan: Plan, fields: Sequence[Field]
) -> list[dict[str, Any]]:
    """Return each answer to a field that makes another plan, with that plan in words.

    Parameters
    ----------
    plan
        What the steps follow.
    fields
        Of the entry, as they are called out.
    """
    return [
        {"field": name, "value": word, "label": label, "says": says}
        for name, word, label, signs in _answers(fields)
        if (says := _another(found, plan, signs))
    ]


def _answers(
    fields: Sequence[Field],
) -> Iterator[tuple[str, str, str, Collection[str]]]:
    """Yield every answer that says that a sign is there: field, word, label, signs."""
    called_out = {one["field"]: one["choices"] or () for one in fields}
    for one in every_kind()[OF_A_CHANGE].fields:
        for choice in called_out.get(one.form_name, ()):
            signs = one.begins.get(choice["value"])
            if signs:
                yield one.form_name, choice["value"], choice["label"], signs


def _another(found: LineAtHand, plan: Plan, signs: Collection[str]) -> str:
    """Return the plan that holds once signs are there; empty where it stays as it is."""
    case = found.record.state.case
    fold = LineFold(case.zone, child=case.child, line=case.line)
    fold.see(signs, (), plan.at)
    try:
        then = plan_change(fold.state().case, plan.at, found.policy)
    except LumenkeepError:
        return STOPS
    return "" if _skin_of(then) == _skin_of(plan) else then.sentence


def _skin_of(plan: Plan) -> tuple[str, str | None, str | None]:
    """Return what touches the skin: all that a sign may change in mid-change."""
    agent, cover = plan.antiseptic, plan.dressing
    return (
        plan.verdict,
        agent.agent if agent else None,
        cover.kind if cover else None,
    )
