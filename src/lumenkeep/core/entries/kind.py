"""A kind of entry: what it asks, what it changes, what it begins and ends, said once.

Forms, the guide's questions, corrections, the history's words, the schema, the chart
file and the reading of the chart into its state all come from these values. A field
that is added to a kind is there everywhere; so is a kind that is added to the registry.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from lumenkeep.core.entries.answers import ROWS, TABLE, Answer, Held, Text
from lumenkeep.core.entries.fold import LineFold
from lumenkeep.core.model.entry import Entry

CHILD, LINE, EITHER = "child", "line", "either"
Flaw = tuple[str, str, str, str]
"""What is wrong with a body: code, what, key, mend."""


@dataclass(frozen=True, slots=True)
class Field:
    """One thing that an entry says.

    Parameters
    ----------
    key
        Where it lies in the entry's body.
    label
        What is asked, or said before the value.
    answer
        How it may be answered.
    name
        Name of the form's field; the key where left out.
    required
        Whether a form is refused without it. Files and older entries may leave out any
        key: absent is unknown.
    hint
        What helps to answer.
    said
        What the history says before the value; None: the label. Empty: the value
        speaks for itself.
    is_shown
        Whether the history says it at all.
    is_asked
        Whether it stands on the form; otherwise something else writes it.
    asked_of
        Only of lines of these kinds; empty: of every line.
    only_with
        Key and word of another field without which it says nothing; empty: always.
    from_policy
        Id of the policy's ``[[chart]]`` row that decides whether, when and in which
        words it is asked; empty where every policy asks it alike.
    sets
        The fact that it states, as a case file names it: "line.stitches".
    begins
        Signs at the site that each word says are there.
    ends
        Signs that each word says are there no more.
    """

    key: str
    label: str
    answer: Answer
    name: str = ""
    required: bool = False
    hint: str = ""
    said: str | None = None
    is_shown: bool = True
    is_asked: bool = True
    asked_of: tuple[str, ...] = ()
    only_with: tuple[str, ...] = ()
    from_policy: str = ""
    sets: str = ""
    begins: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    ends: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def form_name(self) -> str:
        """Name of its field in a form."""
        return self.name or self.key


@dataclass(frozen=True, slots=True)
class Task:
    """A recurring task that an entry of a kind does.

    Parameters
    ----------
    word
        The policy's word for it.
    label
        What it is called on the due list.
    fact
        The fact that holds when it was last done, as a case file names it.
    due
        What a policy in sentences says for "it is due"; from the label where left out.
    """

    word: str
    label: str
    fact: str
    due: str = ""

    @property
    def due_phrase(self) -> str:
        """What a policy in sentences says for "it is due"."""
        return self.due or f"{self.label[:1].lower()}{self.label[1:]} is due"


@dataclass(frozen=True, slots=True)
class Form:
    """A form by hand, which charts and corrects.

    Parameters
    ----------
    title, button
        Words above it and on its button.
    is_time_needed
        Whether the instant must be said; otherwise an empty one is now.
    is_time_first
        Whether the instant is asked before the rest.
    lead
        A sentence above the fields.
    happened, happened_name
        What is asked for the instant, and the name of that field. Empty: the entry
        happens when it is written, or a field says the day.
    """

    title: str
    button: str
    lead: str = ""
    happened: str = "When"
    happened_name: str = "done-at"
    is_time_needed: bool = False
    is_time_first: bool = False


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of entry.

    Parameters
    ----------
    id
        As the entry names it; never used again for something else.
    label
        What the history calls it.
    about
        `CHILD`, `LINE`, or `EITHER`: of the child alone, of one line, or either.
    fields
        In the order of the work.
    form
        How it is charted and corrected by hand; None where another page does that.
    task
        The recurring task it does.
    needs
        What the line must be, as in "port"; empty: anything.
    takes
        What it does to the reading of the chart beyond what the fields set.
    is_look
        Whether somebody looked at the site.
    uses_line
        Whether doing it uses the line: while the line must not be used, a form asks
        for `KNOWN_HELD` first.
    says
        The particulars in words where the fields in their order do not say it well.
    check
        Faults of a body that no single field shows: code, what, key, mend. Those
        coded "missing" bind forms only.
    may_withdraw
        Whether it can be taken back.
    """

    id: str
    label: str
    about: str
    fields: tuple[Field, ...] = ()
    form: Form | None = None
    task: Task | None = None
    needs: tuple[str, ...] = ()
    takes: Callable[[LineFold, Entry], None] | None = None
    is_look: bool = False
    uses_line: bool = False
    says: Callable[[Mapping[str, Any]], str] | None = None
    check: Callable[[Mapping[str, Any]], tuple[Flaw, ...]] | None = None
    may_withdraw: bool = True

    def field(self, key: str) -> Field | None:
        """Return the field at a key of the body; None where there is none."""
        return next((one for one in self.fields if one.key == key), None)

    @property
    def keys(self) -> tuple[str, ...]:
        """Every key that a body may hold."""
        return tuple(one.key for one in self.fields)


NOTE = Field("note", "Anything to add", Text(), said="")
"""Words of one's own beside any entry."""

KNOWN_HELD = Field(
    "do_not_use_known",
    "The line must not be used. Why you go on",
    Text(),
    is_asked=False,
    said="went on though the line must not be used:",
)
"""Said by a person who uses a line that must not be used: that she knows, and why."""

GUIDED = (
    KNOWN_HELD,
    Field("guide", "Guided", Held(TABLE), is_shown=False, is_asked=False),
    Field("noted", "Noted", Held(ROWS), is_shown=False, is_asked=False),
)
"""What a guided procedure leaves in its entry."""
