"""Plausible answers to whatever a form or a chart file may hold of a kind of entry.

The kinds and their fields come from the registry: one that is added there is filled in
too. Numbers lie close together, so that no length moves and no weight jumps: what
follows from numbers has tests of its own.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hypothesis import strategies as st

from lumenkeep.core.entries import answers as a

if TYPE_CHECKING:
    from lumenkeep.core.entries import Field, Kind

    Form = dict[str, Any]

ALIKE: dict[str, tuple[Any, ...]] = {
    "external_length_mm": (19.5, 20, 20.5),
    "stitches": (0, 2),
    "lumens": (1, 2),
    "g": (16_000, 16_400),
    "arm_girth_mm": (180,),
    "celsius": (38.4,),
    "per_mm3": (400,),
    "ml_24h": (300,),
    "mass_kg": (16,),
}
"""Numbers by the key of their field."""
SAID: dict[str, tuple[str, ...]] = {
    "lumen": ("", "white", "brown"),
    "set": ("", "second"),
    "draw": ("left arm",),
    "organisms": ("E. coli",),
    "name": ("E. coli",),
    "bed": ("4", "11"),
    "agent": ("chlorhexidine-alcohol", "povidone-iodine"),
    "assistant": ("", "s-garnet"),
    "ward": ("kestrel",),
}
"""Texts by the key of their field; elsewhere nothing, or a word of one's own."""
OFTEN: dict[str, tuple[str, ...]] = {
    "line-inserted.kind": ("picc", "tunnelled", "non-tunnelled"),
    "line-inserted.site": ("upper-arm", "chest"),
}
"""Of a list, only these: an umbilical line goes its own way, a port is here already."""
BORN, GESTATION = ("2022-08-10 08:00", "2022-08-10"), ("39w0d",)
DAYS = ("2026-11-20", "2026-11-24")
NOT_TYPED = (a.Held, a.Grades)
"""What nobody types; and grades, which raise concerns that hang on the policy's ladder."""


def forms(kind: Kind) -> st.SearchStrategy[Form]:
    """Return what a person may type and tick into the form of a kind, the time aside."""
    parts = [
        _typed(kind, field)
        for field in kind.fields
        if field.is_asked and not _is_left_out(field)
    ]
    return st.tuples(*parts).map(_together)


def bodies(kind: Kind) -> st.SearchStrategy[dict[str, Any]]:
    """Return what a chart file may hold for a kind: each key there, or absent."""
    keys = {
        field.key: _held(kind, field)
        for field in kind.fields
        if not _is_left_out(field)
    }
    return st.fixed_dictionaries({}, optional=keys)


def _is_left_out(field: Field) -> bool:
    is_of_others = isinstance(field.answer, a.Offered) and field.key not in SAID
    return is_of_others or isinstance(field.answer, NOT_TYPED)


def _together(parts: tuple[Form, ...]) -> Form:
    found: Form = {}
    for part in parts:
        found |= part
    return found


def _words(kind: Kind, field: Field) -> tuple[str, ...]:
    assert isinstance(field.answer, a.Word | a.Words)
    return OFTEN.get(f"{kind.id}.{field.key}", tuple(field.answer.words))


def _typed(kind: Kind, field: Field) -> st.SearchStrategy[Form]:
    name, answer, key = field.form_name, field.answer, field.key
    match answer:
        case a.Words() if answer.groups:
            return _groups(answer)
        case a.Words():
            none = [[answer.none[0]]] if answer.none else []
            some = st.lists(
                st.sampled_from(_words(kind, field)), max_size=2, unique=True
            )
            return st.one_of(some, *(st.just(one) for one in none)).map(_under(name))
        case a.Word():
            values = _words(kind, field)
        case a.YesNo():
            values = ("yes", "no", *((answer.neither[0],) if answer.neither else ()))
        case a.Measure() | a.Count():
            values = tuple(f"{one:g}" for one in ALIKE[key])
        case a.Substances():
            return st.sampled_from(({}, {}, {"other-substance": "Iodine"}))
        case a.Days():
            pair = {f"{name}_first": DAYS[0], f"{name}_last": DAYS[1]}
            return st.sampled_from(({}, pair))
        case _:
            values = _texts(field)
    maybe = values if field.required or field.from_policy else ("", *values)
    return st.sampled_from(maybe).map(_under(name))


def _under(name: str) -> Any:
    return lambda value: {name: value}


def _groups(answer: a.Words) -> st.SearchStrategy[Form]:
    """Return ticks in one or two of the groups of a list, or "none of these"."""
    one = st.one_of(
        *(
            st.lists(st.sampled_from(tuple(words)), min_size=1, max_size=2, unique=True)
            .map(_under(name))
            for name, _, words in answer.groups
        )
    )  # fmt: skip
    assert answer.none is not None
    healthy = st.just({answer.groups[0][0]: [answer.none[0]]})
    return st.one_of(st.just({}), healthy, one, st.tuples(one, one).map(_together))


def _texts(field: Field) -> tuple[str, ...]:
    match field.answer:
        case a.BirthMoment():
            return BORN
        case a.GestationWeeks():
            return GESTATION
        case a.Day():
            return DAYS
        case _:
            return SAID.get(field.key, ("", "Said so."))


def _held(kind: Kind, field: Field) -> st.SearchStrategy[Any]:
    answer = field.answer
    match answer:
        case a.Word():
            return st.sampled_from(_held_words(kind, field, answer))
        case a.Words():
            return st.lists(
                st.sampled_from(_words(kind, field)), max_size=2, unique=True
            )
        case a.YesNo():
            return st.booleans()
        case a.Measure() | a.Count():
            return st.sampled_from(ALIKE[field.key])
        case a.Substances():
            return st.just([{"substance": "Iodine", "what_happened": "a rash"}])
        case a.Days():
            return st.just(list(DAYS))
        case a.Texts():
            return st.just(["E. coli"])
        case _:
            return st.sampled_from([text for text in _texts(field) if text])


def _held_words(kind: Kind, field: Field, answer: a.Word) -> list[Any]:
    if answer.is_number:
        return [int(word) for word in answer.words]
    if answer.is_said:
        return [text.lower() for text in answer.words.values()]
    return list(_words(kind, field))
