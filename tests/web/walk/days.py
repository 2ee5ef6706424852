"""Random days on a ward: which steps there are, and what may be done in each."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from django.db import transaction
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, rule
from tests.fakes.clock import NOON
from tests.web.walk.filled import bodies, forms
from tests.web.walk.held_against import wrong_in_reading, wrong_on_pages
from tests.web.walk.steps import LINES, Walk

from lumenkeep.core.entries import CHILD, EITHER, every_kind

if TYPE_CHECKING:
    from collections.abc import Collection

    from django.test import Client
    from tests.fakes.chart_by_hand import Row
    from tests.fakes.clock import FixedClock

PAGES_EVERY = 3
"""Steps from one look at the pages to the next; the reading is compared at each."""
ELSEWHERE = ("stay", "line-inserted")
"""Kinds with a form of which one moves a child, and the other makes a line."""
KINDS = {
    kind.id: kind
    for kind in every_kind().values()
    if kind.form is not None and kind.id not in ELSEWHERE
}
EVERY_FORM = (*KINDS, "line-inserted")
OF_LINE = [id_ for id_, kind in KINDS.items() if kind.about != CHILD]
OF_CHILD = [id_ for id_, kind in KINDS.items() if kind.about == CHILD]
OF_FILES = [*OF_LINE, "skin", "set-change", "site-check", "sensitivities", "weight"]
"""Those with most to forget twice: in a file any key may be absent."""
CALLED_OUT = {
    "dressing-change": "dressing-change",
    "connector-change": "connector-change",
    "set-change": "set-change",
    "port-needle-change": "dressing-change",
    "re-cover": "re-cover",
    "line-removal": "line-removed",
}
"""Each guided procedure, and the kind of entry whose answers are called out in it."""
LINE = st.sampled_from(LINES)
HOURS_AGO = st.sampled_from((0, 0, 0, 3, 9, 50))
WHICH = st.integers(0, 60)


class DayOnTheWard(RuleBasedStateMachine):
    """A day of random steps, after each of which the readings must agree.

    Attributes
    ----------
    client, clock
        Who is signed in on the ward, and its clock.
    charted
        Where it is noted in which ways something was charted on any day.
    """

    client: ClassVar[Client]
    clock: ClassVar[FixedClock]
    charted: ClassVar[set[str]]

    def __init__(self) -> None:
        super().__init__()
        self.night = transaction.atomic()
        self.night.__enter__()
        self.clock.at = NOON
        self.walk = Walk(self.client, self.clock)
        self.steps = 0

    def teardown(self) -> None:
        """Leave the chart as it was in the morning: what is charted is never deleted."""
        self.charted.update(self.walk.charted)
        transaction.set_rollback(True)
        self.night.__exit__(None, None, None)

    @rule(line=LINE, ago=HOURS_AGO, data=st.data())
    def chart_on_the_line(self, line: str, ago: int, data: st.DataObject) -> None:
        """Send a form about the line."""
        kind = data.draw(st.sampled_from(OF_LINE))
        self.walk.chart(line, kind, data.draw(forms(KINDS[kind])), ago)
        self._compare(line)

    @rule(line=LINE, ago=HOURS_AGO, data=st.data())
    def chart_of_the_child(self, line: str, ago: int, data: st.DataObject) -> None:
        """Send a form about the child."""
        kind = data.draw(st.sampled_from(OF_CHILD))
        self.walk.chart(line, kind, data.draw(forms(KINDS[kind])), ago)
        self._compare(line)

    @rule(line=LINE, which=WHICH, ago=st.none() | HOURS_AGO, data=st.data())
    def correct(
        self, line: str, which: int, ago: int | None, data: st.DataObject
    ) -> None:
        """Type an entry anew, at its own time or at another."""
        row = self._one_of(line, which, EVERY_FORM)
        if row is not None:
            form = data.draw(forms(every_kind()[row.kind]))
            self.walk.correct(line, row, form, ago)
            self._compare(line)

    @rule(line=LINE, which=WHICH)
    def take_back(self, line: str, which: int) -> None:
        """Take an entry back."""
        row = self._one_of(line, which, every_kind())
        if row is not None:
            self.walk.take_back(line, row)
            self._compare(line)

    @rule(line=LINE, form=forms(KINDS["site-check"]), found=forms(KINDS["finding"]))
    def go_round(
        self, line: str, form: dict[str, object], found: dict[str, object]
    ) -> None:
        """Look at the line on a round."""
        self.walk.go_round(line, {**form, **found})
        self._compare(line)

    @rule(
        line=LINE,
        procedure=st.sampled_from(tuple(CALLED_OUT)),
        share=st.sampled_from((1, 1, 0.3, 0.7)),
        data=st.data(),
    )
    def guide(
        self, line: str, procedure: str, share: float, data: st.DataObject
    ) -> None:
        """Be guided, to the end or only through a share of the steps."""
        told = data.draw(forms(every_kind()[CALLED_OUT[procedure]]))
        self.walk.guide(line, procedure, told, share)
        self._compare(line)

    @rule(
        line=LINE,
        ago=HOURS_AGO,
        which=st.none() | WHICH,
        of_child=st.booleans(),
        data=st.data(),
    )
    def bring_in(
        self,
        line: str,
        ago: int,
        which: int | None,
        of_child: bool,
        data: st.DataObject,
    ) -> None:
        """Bring in a chart file with an entry more, or a correction more."""
        row = None if which is None else self._one_of(line, which, OF_FILES)
        kind = data.draw(st.sampled_from(OF_FILES)) if row is None else row.kind
        body = data.draw(bodies(KINDS[kind]))
        about = KINDS[kind].about
        on_line = about != CHILD and not (about == EITHER and of_child)
        if row is not None:
            on_line = row.line is not None
        corrects = None if row is None else row.id
        self.walk.bring_in(line, kind, body, ago, corrects, on_line=on_line)
        self._compare(line)

    @rule(line=LINE)
    def close_concerns(self, line: str) -> None:
        """Close whatever is open on the line."""
        self.walk.close_concerns(line)
        self._compare(line)

    @rule(line=LINE, hours=st.sampled_from((1, 8, 26)))
    def wait(self, line: str, hours: int) -> None:
        """Let time pass."""
        self.walk.wait(hours)
        self._compare(line)

    def _one_of(self, line: str, which: int, kinds: Collection[str]) -> Row | None:
        """Return one entry that may be corrected; None where there is none."""
        rows = [row for row in self.walk.to_correct(line) if row.kind in kinds]
        return rows[-1 - which % len(rows)] if rows else None

    def _compare(self, line: str) -> None:
        self.steps += 1
        if self.steps % PAGES_EVERY:
            wrong = wrong_in_reading(self.walk)
        else:
            wrong = wrong_on_pages(self.walk, line)
        steps = "\n  ".join(self.walk.log)
        assert not wrong, "\n".join((*wrong, f"after these steps:\n  {steps}"))
