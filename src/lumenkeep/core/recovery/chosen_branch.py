"""Which branch of a procedure a guide runs: the plan's, with what is asked beforehand.

What neither the plan nor an answer decides takes the branch with the most steps: a
step too many costs minutes, a step too few may cost the line.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.branch import Branch, laid_out, length_of
from lumenkeep.core.asepsis.check import walk
from lumenkeep.core.asepsis.heads import kinds_of
from lumenkeep.core.asepsis.procedure import Procedure
from lumenkeep.core.rehearsal.stage import Stage
from lumenkeep.errors import ChartError, Fault

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.core.asepsis.procedure import Bedside
    from lumenkeep.core.model import Case
    from lumenkeep.core.planning import Plan
    from lumenkeep.core.policy import Policy

ASKED = ("soil", "securement", "findings", "technique", "lumens")
"""Facts that only the people at the bedside know, or choose."""
LINES_OF = {
    "port-needle-change": ("port",),
    "line-removal": ("non-tunnelled", "picc"),
}
"""Kinds of line that a procedure is for, where it is not for all of them."""


@dataclass(frozen=True, slots=True)
class BranchQuestion:
    """A fact to be asked before the guide is opened.

    Attributes
    ----------
    words
        What may be answered.
    answered
        The answer; None where there was none yet.
    """

    fact: str
    words: tuple[str, ...]
    answered: str | None


@dataclass(frozen=True, slots=True)
class GuidedBranch:
    """The branch that a guide runs.

    Attributes
    ----------
    asked
        What was or is to be asked, in the procedure's order.
    assumed
        Facts that nobody knew, with the word taken for the safe side.
    """

    stage: Stage
    procedure: Procedure
    branch: Branch
    asked: tuple[BranchQuestion, ...]
    assumed: tuple[tuple[str, str], ...]

    @property
    def scrubs(self) -> bool:
        """Whether the skin is scrubbed, so that the plan's agent is used."""
        return needs_plan(self.procedure)


def needs_plan(procedure: Procedure) -> bool:
    """Return whether a procedure scrubs the skin, so that it follows a change plan."""
    return any(s.verb == "scrub" and "site" in s.objects for s in procedure.steps)


def needs_assistant(procedure: Procedure) -> bool:
    """Return whether a second person must be named beforehand.

    An emergency cannot wait for one: whoever finds it calls.
    """
    return bool(procedure.resets) or needs_plan(procedure)


def is_urgent(procedure: Procedure) -> bool:
    """Return whether a procedure must not wait for anybody: an emergency."""
    return not needs_assistant(procedure)


def fits_line(procedure: Procedure, bedside: Bedside, case: Case) -> bool:
    """Return whether a procedure is for this kind of line; never for an unknown one.

    By what it does, not by what a hospital calls it.
    """
    does = kinds_of(procedure, bedside.kinds)
    return all(case.line.kind in LINES_OF[kind] for kind in does if kind in LINES_OF)


def guided_branch(
    policy: Policy,
    bedside: Bedside,
    case: Case,
    plan: Plan,
    procedure: str,
    answers: Mapping[str, str],
) -> GuidedBranch:
    """Return the branch of a procedure for one child's plan.

    Parameters
    ----------
    procedure
        Id of the procedure.
    answers
        Words for the facts of `ASKED`, by fact; those that are no word of the
        procedure are as if not given.

    Raises
    ------
    PolicyError
        ``policy-no-such-procedure``.
    ChartError
        ``guide-no-plan``: the plan names no antiseptic, and the skin is scrubbed.
        ``guide-unsound``: the steps would break a rule of asepsis.
        ``guide-wrong-line``: the procedure is not for this kind of line.
    """
    stage = Stage.for_plan(policy, bedside, case, plan)
    written = stage.procedure(procedure)
    _refuse_unfit(written, bedside, case, plan)
    vary = dict(stage.vary_of(written))
    asked = tuple(
        BranchQuestion(f, vary[f], answers[f] if answers.get(f) in vary[f] else None)
        for f in ASKED
        if f in vary and len(vary[f]) > 1
    )
    known = {one.fact: one.answered for one in asked if one.answered is not None}
    fits = [
        words
        for words in stage.settings_of(written)
        if all(words[fact] == (word,) for fact, word in known.items())
    ]
    settings = [stage.setting(written, words) for words in fits]
    most = max(range(len(fits)), key=lambda n: (length_of(written, settings[n]), -n))
    branch = laid_out(written, bedside, settings[most], procedure)
    assumed = tuple(
        (fact, fits[most][fact][0])
        for fact, words in vary.items()
        if len(words) > 1 and fact not in known
    )
    if not walk(branch).is_sound:
        raise ChartError([_unsound(written)])
    return GuidedBranch(stage, written, branch, asked, assumed)


def _refuse_unfit(
    procedure: Procedure, bedside: Bedside, case: Case, plan: Plan
) -> None:
    faults = []
    if needs_plan(procedure) and plan.verdict != "plan":
        faults.append(
            Fault(
                "guide-no-plan",
                f"{procedure.title} cannot be guided: the plan names no antiseptic.",
                "procedure",
                "open the plan: it says what must be known, or who decides",
            )
        )
    if not fits_line(procedure, bedside, case):
        faults.append(
            Fault(
                "guide-wrong-line",
                f"{procedure.title} is not for this kind of line, or its kind is not "
                "charted.",
                "procedure",
                "open the right line, or chart its kind; otherwise ask the vascular "
                "access educator",
            )
        )
    if faults:
        raise ChartError(faults)


def _unsound(procedure: Procedure) -> Fault:
    return Fault(
        "guide-unsound",
        f"{procedure.title}: these steps would break a rule of asepsis.",
        "procedure",
        "work from the hospital's own procedure, and tell the vascular access educator",
    )
