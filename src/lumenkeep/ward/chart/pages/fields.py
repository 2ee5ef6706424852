"""Form fields as values: what is asked, what was typed, and what is wrong with it.

Made for forms whose fields come from policy. The use cases read what was typed; here
it only comes back as it was, beside the fault that says how to mend it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from lumenkeep.errors import Fault
from lumenkeep.text.moments import counted
from lumenkeep.ward.chart.charting.asked_back import ASKED_BACK, SURE

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import datetime, tzinfo

    from django.http import QueryDict

UNITS = {"length": "mm", "mass": "g", "count": ""}
NUMBERS = ("length", "count", "mass")
FIELD_ID = "-field"
"""Ends the id of what holds a field, whichever control it is drawn with."""


@dataclass(frozen=True, slots=True)
class FieldView:
    """One field of a form.

    Parameters
    ----------
    name, label, hint
        Name in the form; what is asked; what helps to answer.
    kind
        "instant", "day", "time", "choice", "pick" (a long list), "several", "length",
        "mass", "count", "gestation", "text" or "yes-no".
    choices
        Values with their words.
    low, high
        What is possible (mm, g or count).
    typed, ticked
        The text as typed, or the values ticked.
    fault
        What is wrong with it, if anything.
    big
        Whether its choices are large enough for a gloved finger.
    sure
        The unlikely value that was asked about: sent again with it, it is taken.
    """

    name: str
    label: str
    kind: str
    required: bool = False
    hint: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    low: float | None = None
    high: float | None = None
    typed: str = ""
    ticked: tuple[str, ...] = ()
    fault: Fault | None = None
    big: bool = False
    sure: str = ""

    @property
    def unit(self) -> str:
        """Unit said beside the field."""
        return UNITS.get(self.kind, "")

    @property
    def control(self) -> str:
        """Which control draws it: "pills", "list" or "line"."""
        if self.kind in ("choice", "several", "yes-no"):
            return "pills"
        if self.kind == "pick":
            return "list"
        return "area" if self.kind == "text" else "line"

    @property
    def target(self) -> str:
        """Id of what is typed or chosen first, which has the field's name.

        Where there is nothing to choose from, it is the box around the field.
        """
        is_empty = self.control == "pills" and not self.choices
        return f"{self.name}{FIELD_ID}" if is_empty else self.name

    @property
    def input_type(self) -> str:
        """Type of the input; numbers stay text, so that nothing typed is lost."""
        return {"instant": "datetime-local", "day": "date", "time": "time"}.get(
            self.kind, "text"
        )

    @property
    def input_mode(self) -> str:
        """Which keyboard a tablet offers."""
        return "decimal" if self.kind in NUMBERS else ""

    @property
    def described_by(self) -> str:
        """Ids of what describes the field, for a screen reader."""
        parts = [f"{self.name}-hint"] * bool(self.hint)
        parts += [f"{self.name}-fault"] * (self.fault is not None)
        return " ".join(parts)


def local_minute(at: datetime, zone: tzinfo) -> str:
    """Return an instant as a date-and-time input holds it, on the ward's clock."""
    return f"{at.astimezone(zone):%Y-%m-%dT%H:%M}"


def filled(
    fields: Iterable[FieldView], values: Mapping[str, str]
) -> tuple[FieldView, ...]:
    """Return the fields with these texts in them; the others stay as they are."""
    return tuple(
        replace(field, typed=values.get(field.name, field.typed)) for field in fields
    )


def as_sent(fields: Iterable[FieldView], sent: QueryDict) -> tuple[FieldView, ...]:
    """Return the fields as somebody filled them in, right or wrong."""
    return tuple(
        replace(
            field,
            typed=sent.get(field.name) or "",
            ticked=tuple(sent.getlist(field.name)),
            sure=sent.get(field.name + SURE) or "",
        )
        for field in fields
    )


def with_faults(
    fields: Iterable[FieldView], faults: Iterable[Fault]
) -> tuple[FieldView, ...]:
    """Return the fields with each fault beside the field it names.

    A field that is asked back holds the value it is asked about.
    """
    by_name = {fault.where: fault for fault in faults}
    return tuple(_with_fault(field, by_name.get(field.name)) for field in fields)


def _with_fault(field: FieldView, fault: Fault | None) -> FieldView:
    is_asked = fault is not None and fault.code == ASKED_BACK
    return replace(field, fault=fault, sure=field.typed if is_asked else field.sure)


def faults_in_words(faults: Sequence[Fault]) -> str:
    """Return how many answers must be put right, and how many are asked back."""
    asked = sum(fault.code == ASKED_BACK for fault in faults)
    wrong = len(faults) - asked
    said = []
    if wrong:
        said.append(
            counted(wrong, "thing must be put right.", "things must be put right.")
        )
    if asked:
        said.append(counted(asked, "thing is asked back.", "things are asked back."))
    return " ".join(said)


Refusal = tuple[Fault, str]
"""A fault as the top of a form says it, and the id of its field, empty for none."""


def refusals(
    fields: Iterable[FieldView], faults: Iterable[Fault]
) -> tuple[Refusal, ...]:
    """Return every fault with the place on the page that it speaks of."""
    targets = {field.name: field.target for field in fields}
    return tuple((fault, targets.get(fault.where, "")) for fault in faults)


def pairs(known: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """Return a closed list as choices."""
    return tuple(known.items())
