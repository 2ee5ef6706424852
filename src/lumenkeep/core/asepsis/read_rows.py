"""Read steps, items, rules and slips from their tables."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.asepsis.head import ProcedureHead, ProcedureKind
from lumenkeep.core.asepsis.procedure import (
    AsepsisRule,
    Duty,
    Effect,
    Item,
    Needed,
    SafeEnding,
    Slip,
    Spare,
    Step,
)
from lumenkeep.core.asepsis.state import OF_THE_ACTOR, STATE_WORDS
from lumenkeep.core.asepsis.when import Condition
from lumenkeep.core.asepsis.words import (
    ACTORS,
    COUNTED,
    ENDINGS,
    MANNERS,
    OBJECTS,
    PLACES,
    PLAN_SECONDS,
    PLAN_SWABS,
    SETTING_FACTS,
    VERBS,
)
from lumenkeep.core.policy.numbers import GREATEST
from lumenkeep.core.policy.read_basics import HOW, number_ref, source_ref
from lumenkeep.core.policy.read_rules import SIZES
from lumenkeep.core.policy.vocabulary import TASKS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.core.asepsis.when import Row, Rows, When
    from lumenkeep.core.model.reading import Reader
    from lumenkeep.core.policy.read_basics import Gathered

SELECTORS: dict[str, tuple[str, ...] | None] = {
    "verb": tuple(VERBS),
    "actor": ACTORS,
    "objects": OBJECTS,
    "touches": OBJECTS,
    "manner": MANNERS,
    "takes": ("field", "nothing"),
    "opens": ("field", "nothing"),
    "short": ("yes", "no"),
    "lean": ("yes", "no"),
    "few": ("yes", "no"),
    "look": ("yes", "no"),
    "charted": None,
    "uses": None,
}
SELECTORS |= {f"not_{key}": words for key, words in SELECTORS.items()}
"""What a rule may ask of a step; ``uses`` names items, or nothing, and ``look`` whether
it says what to look for."""
FACTS_OF_ROWS: Mapping[str, tuple[str, ...]] = {
    **STATE_WORDS,
    **{fact: STATE_WORDS[f"operator_{fact}"] for fact in OF_THE_ACTOR},
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
        if table.checked_word(fact, fact, STATE_WORDS) is not None:
            word = table.word(fact, STATE_WORDS[fact], needed=True)
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
        after=row.text("after"),
        once=row.flag("once") or False,
        says_first=row.text("says_first"),
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
        also=row.words("also", None),
        size_of=row.word("size_of", SIZES),
        source=source_ref(row, into),
        how=row.word("how", HOW),
        where=row.where,
    )
    into.once(row, "item", item.id)
    row.finish()
    return item


def read_selectors(
    row: Reader, key: str, *, needed: bool = False
) -> Mapping[str, tuple[str, ...]]:
    """Return what is asked of a step, by its part; empty where the table is not there."""
    table = row.table(key, needed=needed)
    return _selectors(table) if table is not None else {}


def _selectors(
    table: Reader, also: tuple[str, ...] = ()
) -> Mapping[str, tuple[str, ...]]:
    return {
        part: table.words(part, SELECTORS[part], needed=True)
        for part in table.every_key()
        if part not in also and table.checked_word(part, part, SELECTORS) is not None
    }


def read_duties(row: Reader, key: str) -> tuple[Duty, ...]:
    """Return the acts that a slip asks for, in order."""
    found = []
    for line in row.rows(key):
        given = read_rows(line, "given")
        found.append(Duty(_selectors(line, also=("given",)), given))
    return tuple(found)


def read_safe(row: Reader, into: Gathered) -> SafeEnding:
    """Return what must hold where a procedure ends or is left."""
    safe = SafeEnding(
        id=row.text("id", needed=True) or "without-id",
        says=row.text("says", needed=True) or "",
        given=read_rows(row, "given"),
        needs=read_rows(row, "needs"),
        does=row.words("does", None, needed=True),
        when=read_when(row),
        **shared(row, into),
    )
    row.finish()
    return safe


def read_needed(row: Reader, into: Gathered) -> Needed:
    """Return a step that a procedure must not forget."""
    needed = Needed(
        id=row.text("id", needed=True) or "without-id",
        rule=row.text("rule", needed=True) or "",
        says=row.text("says", needed=True) or "",
        on=read_selectors(row, "on", needed=True),
        after=read_selectors(row, "after"),
        before=read_selectors(row, "before"),
        every=row.flag("every") or False,
        times=row.word("times", COUNTED),
        mend=row.text("mend", needed=True) or "",
        when=read_when(row),
        **shared(row, into),
    )
    row.finish()
    return needed


def read_head(row: Reader, into: Gathered) -> ProcedureHead:
    """Return what the head of a procedure must say."""
    asks = row.table("asks")
    head = ProcedureHead(
        id=row.text("id", needed=True) or "without-id",
        rule=row.text("rule", needed=True) or "",
        says=row.text("says", needed=True) or "",
        starts=read_rows(row, "starts"),
        ends=read_rows(row, "ends"),
        asks=read_choices(asks) if asks else (),
        walked=row.words("walked", SETTING_FACTS),
        task=row.word("task", TASKS),
        does=tuple(_selectors(line) for line in row.rows("does")),
        may_reset=row.words("may_reset", TASKS),
        mend=row.text("mend", needed=True) or "",
        when=read_when(row),
        **shared(row, into),
    )
    row.finish()
    return head


def read_kind(row: Reader, into: Gathered) -> ProcedureKind:
    """Return by what acts a procedure is of a kind."""
    kind = ProcedureKind(
        id=row.text("id", needed=True) or "without-id",
        procedure=row.text("procedure", needed=True) or "",
        on=read_selectors(row, "on", needed=True),
        without=read_selectors(row, "without"),
        **shared(row, into),
    )
    row.finish()
    return kind


def read_choices(
    row: Reader, also: tuple[str, ...] = ()
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return facts of the setting with the words each may take."""
    found = []
    for fact in row.every_key():
        if fact in also or row.checked_word(fact, fact, SETTING_FACTS) is None:
            continue
        found.append((fact, row.words(fact, None, needed=True)))
    return tuple(found)


def read_rule(row: Reader, into: Gathered) -> AsepsisRule:
    """Return one rule of asepsis."""
    rule = AsepsisRule(
        id=row.text("id", needed=True) or "without-id",
        rule=row.text("rule", needed=True) or "",
        says=row.text("says", needed=True) or "",
        on=read_selectors(row, "on", needed=True),
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
        must=read_duties(row, "must"),
        stops=read_rows(row, "stops"),
        twice=row.word("twice", ("stop",)),
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
    into.once(row, "item in the room", spare.item)
    row.finish()
    return spare
