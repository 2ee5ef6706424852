"""The one family of errors, and the fault that an input's reader reports.

::

    LumenkeepError
    ├── InputError       a file or a form is wrong; holds every fault of it at once
    │   ├── CaseError    a case file
    │   ├── PolicyError  a policy set
    │   └── ChartError   something a person wants to chart
    ├── NoRuleError      no rule covers these facts: ask a person
    ├── RuleConflictError  two rules of equal priority disagree
    └── StoreError       the chart could not be read or written

A finding is not an error: an overdue line or a child who must be referred is a
result. No message holds a child's name, birth date or record number.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with an input.

    Parameters
    ----------
    code
        Kebab-case name of the kind of fault; never reused for another.
    what
        What is wrong, as a sentence.
    where
        File and key, or form field, or argument.
    mend
        What to do about it, as an instruction.
    """

    code: str
    what: str
    where: str
    mend: str

    def __str__(self) -> str:
        return (
            f"{self.what}  [{self.code}]\n  where: {self.where}\n  mend:  {self.mend}"
        )


class LumenkeepError(Exception):
    """Any error that Lumenkeep raises on purpose."""


class InputError(LumenkeepError):
    """An input cannot be used; ``faults`` holds all that is wrong with it."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults: tuple[Fault, ...] = tuple(faults)
        super().__init__(self.faults)

    def __str__(self) -> str:
        return "\n".join(str(fault) for fault in self.faults)


class CaseError(InputError):
    """A case file is faulty."""


class PolicyError(InputError):
    """A policy set is faulty."""


class ChartError(InputError):
    """What a person wants to chart is impossible or incomplete."""


class SingleError(LumenkeepError):
    """An error about one thing: what, where and how to mend it."""

    def __init__(self, fault: Fault) -> None:
        self.fault = fault
        super().__init__(fault)

    def __str__(self) -> str:
        return str(self.fault)


class NoRuleError(SingleError):
    """No rule covers these facts; the tool gives no answer and says whom to ask."""


class RuleConflictError(SingleError):
    """Two rules of equal priority apply and disagree; neither is picked."""


class StoreError(SingleError):
    """The chart could not be read or written."""
