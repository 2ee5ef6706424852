"""Read steps, items, rules and slips from their tables."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.asepsis.procedure import (
    AsepsisRule,
    Condition,
    Effect,
    Item,
    Slip,
    Spare,
    Step,
)
from lumenkeep.asepsis.state import FACTS, OF_THE_ACTOR
from lumenkeep.asepsis.words import (
    ACTORS,
    ENDINGS,
    MANNERS,
    OBJECTS,
    PLACES,
    PLAN_SECONDS,
    PLAN_SWABS,
    SETTING_FACTS,
    VERBS,
)
from lumenkeep.policy.numbers import GREATEST
from lumenkeep.policy.read_basics import HOW, number_ref, source_ref

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.asepsis.procedure import Row, Rows, When
    from lumenkeep.model.reading import Reader
    from lumenkeep.policy.read_basics import Gathered

SELECTORS: dict[str, tuple[str, ...]] = {
    "verb": tuple(VERBS),
    "actor": ACTORS,
    "objects": OBJECTS,
    "touches": OBJECTS,
    "manner": MANNERS,
    "takes": ("field", "nothing"),
    "opens": ("field", "nothing"),
    "short": ("yes", "no"),
}
SELECTORS |= {f"not_{key}": words for key, words in SELECTORS.items()}
"""What a rule may ask of a step."""
FACTS_OF_ROWS: Mapping[str, tuple[str, ...]] = {
    **FACTS,
    **{fact: FACTS[f"operator_{fact}"] for fact in OF_THE_ACTOR},
}
LOSES = ("field", "used")


def shared(row: Reader, into: Gathered) -> dict[str, Any]:
    """Return the reason, source and place that every row has."""
    return {
        "because": row.text("because", needed=True) or "",
        "source": source_ref(row, into),
        "how": row.word("how", HOW),
        "where": row.where,
    }


def read_counts(row: Reader, key: str) -> tuple[tuple[str, int | str], ...]:
    """Return items with counts: a whole number, or ``plan.swabs``."""
    table = row.table(key)
    if table is None:
        return ()
    counts: list[tuple[str, int | str]] = []
    for item in table.every_key():
        if table.data[item] == PLAN_SWABS:
            counts.append((item, PLAN_SWABS))
            continue
        count = table.whole(item, low=1, high=GREATEST, unit="pieces")
        if count is not None:
            counts.append((item, count))
    return tuple(counts)


def read_when(row: Reader) -> When:
    """Return rows of conditions on the change plan."""
    rows = []
    for line in row.rows("when"):
        found = []
        for fact in line.every_key():
            if line.checked_word(fact, fact, SETTING_FACTS) is None:
                continue
            table = line.table(fact)
            if table is None:
                continue
            for test in table.every_key():
                if table.checked_word(test, test, ("is", "is_not")) is not None:
                    words = table.words(test, None, needed=True)
                    found.append(Condition(fact, frozenset(words), test == "is"))
        rows.append(tuple(found))
    return tuple(rows)


def read_rows(row: Reader, key: str) -> Rows:
    """Return rows of facts of the state, each with the words allowed."""
    return tuple(_facts(line) for line in row.rows(key))


def _facts(line: Reader) -> Row:
    found = []
    for fact in line.every_key():
        allowed = FACTS_OF_ROWS.get(fact)
        if allowed is None:
            line.checked_word(fact, fact, FACTS_OF_ROWS)
            continue
        words = line.words(fact, allowed, needed=True)
        if words:
            found.append((fact, frozenset(words)))
    return tuple(found)


def read_sets(row: Reader, key: str) -> tuple[tuple[str, str], ...]:
    """Return facts with the one word each is set to."""
    table = row.table(key)
    if table is None:
        return ()
    found = []
    for fact in table.every_key():
        if table.checked_word(fact, fact, FACTS) is not None:
            word = table.word(fact, FACTS[fact], needed=True)
            if word is not None:
                found.append((fact, word))
    return tuple(found)


def read_step(row: Reader, into: Gathered) -> Step:
    """Return one step of a procedure, or one move of a way back."""
    id_ = row.text("id", needed=True) or "without-id"
    opens_all = row.raw("opens") == "all"
    step = Step(
        id=id_,
        actor=row.word("actor", ACTORS, needed=True) or "both",
        verb=row.word("verb", VERBS, needed=True) or "say",
        says=row.text("says", needed=True) or "",
        objects=row.words("objects", OBJECTS, needed=True),
        touches=row.words("touches", OBJECTS),
        uses=read_counts(row, "uses"),
        opens=() if opens_all else read_counts(row, "opens"),
        opens_all=opens_all,
        manner=row.words("manner", MANNERS),
        seconds=_seconds(row, id_, into),
        look=row.text("look"),
        charted=row.words("charted", None),
        when=read_when(row),
        **shared(row, into),
    )
    row.finish()
    return step


def _seconds(row: Reader, owner: str, into: Gathered) -> str | None:
    named = row.raw("seconds")
    if named in PLAN_SECONDS:
        return str(named)
    return number_ref(row, "seconds", "elapsed", owner, into, needed=False)


def read_item(row: Reader, into: Gathered) -> Item:
    """Return one item."""
    item = Item(
        id=row.text("id", needed=True) or "without-id",
        label=row.text("label", needed=True) or "",
        place=row.word("place", PLACES, needed=True) or "field",
        supply=row.text("supply"),
        source=source_ref(row, into),
        how=row.word("how", HOW),
        where=row.where,
    )
    row.finish()
    return item


def read_rule(row: Reader, into: Gathered) -> AsepsisRule:
    """Return one rule of asepsis."""
    on: dict[str, tuple[str, ...]] = {}
    table = row.table("on", needed=True)
    if table is not None:
        for key in table.every_key():
            if table.checked_word(key, key, SELECTORS) is not None:
                on[key] = table.words(key, SELECTORS[key], needed=True)
    rule = AsepsisRule(
        id=row.text("id", needed=True) or "without-id",
        rule=row.text("rule", needed=True) or "",
        says=row.text("says", needed=True) or "",
        on=on,
        given=read_rows(row, "given"),
        needs=read_rows(row, "needs"),
        mend=row.text("mend", needed=True) or "",
        when=read_when(row),
        **shared(row, into),
    )
    row.finish()
    return rule


def read_slip(row: Reader, into: Gathered) -> Slip:
    """Return one kind of slip."""
    id_ = row.text("id", needed=True) or "without-id"
    effects = []
    for effect in row.rows("spoils"):
        effects.append(
            Effect(
                read_rows(effect, "given"),
                read_sets(effect, "sets"),
                effect.word("loses", LOSES),
            )
        )
        effect.finish()
    slip = Slip(
        id=id_,
        number=row.whole("number", low=1, high=GREATEST, unit="rows", needed=True) or 0,
        says=row.text("says", needed=True) or "",
        breaks=row.words("breaks", None),
        verbs=row.words("verbs", VERBS),
        given=read_rows(row, "given"),
        effects=tuple(effects),
        ending=row.word("ending", ENDINGS, needed=True) or "stop",
        redo=row.text("redo", needed=True) or "",
        keep=row.text("keep") or "",
        stop=row.text("stop") or "",
        first=row.words("first", None),
        often=number_ref(row, "often", "count", id_, into, needed=True) or "",
        when=read_when(row),
        **shared(row, into),
    )
    row.finish()
    return slip


def read_spare(row: Reader, into: Gathered) -> Spare:
    """Return something that lies in the room beyond what the steps use."""
    spare = Spare(
        item=row.text("item", needed=True) or "",
        count=row.whole("count", low=1, high=GREATEST, unit="pieces", needed=True) or 0,
        because=row.text("because", needed=True) or "",
        source=source_ref(row, into),
        where=row.where,
    )
    row.finish()
    return spare
