"""A ward that is worked on through its pages, and a note of every step.

Each step is one thing that a person does: a form sent, a correction, a guide told at
its end, a chart file brought in, a round. A step that the application refuses must
write nothing.
"""

from __future__ import annotations

import io
import json
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from tests.fakes.account import account_of
from tests.fakes.chart import first_drafts
from tests.fakes.chart_by_hand import Row

from lumenkeep.core.entries import kind_of
from lumenkeep.demo.hospital import ZONE
from lumenkeep.ward.chart.models import Child, EntryRow, LinePlace
from lumenkeep.ward.chart.store.repository import ChartRepository
from lumenkeep.ward.chart_file.carry import bounds_of_chart, carried_out, carry_in
from lumenkeep.ward.chart_file.chart_file import chart_file_line, read_chart_file

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from django.http import HttpResponse
    from django.test import Client
    from tests.fakes.clock import FixedClock

    Form = Mapping[str, Any]

CHILD_OF = {"l-1": "c-1", "l-2": "c-1", "l-3": "c-2"}
"""A child with two lines, and one with a port."""
LINES = tuple(CHILD_OF)
ASSISTANT = "s-garnet"
PLACES = {
    "l-2": {"kind": "tunnelled", "site": "chest", "dressing": "transparent"},
    "l-3": {"kind": "port", "site": "chest", "dressing": "gauze"},
}
CHANGED_AT = "chart-changed-at"
OK, WRITTEN = 200, (200, 302)


def build_ward(clock: FixedClock) -> None:
    """Put the lines on the ward, charted a day ago."""
    chart = ChartRepository(clock)
    clock.at -= timedelta(days=1)
    for line, child in CHILD_OF.items():
        Child.objects.get_or_create(key=child, display_name=f"Demo {child.upper()}")
        LinePlace.objects.create(key=line, child_id=child)
        told = first_drafts(clock.at, child=child, line=line, **PLACES.get(line, {}))
        is_second = line == "l-2"
        chart.append([one for one in told if one.line or not is_second], "quillmere")
    clock.at += timedelta(days=1)


class Walk:
    """What somebody does on the ward, step by step.

    Attributes
    ----------
    log
        Every step in words, to be done again by hand.
    charted
        Kinds of entry that were written so far, and the ways in which.
    """

    def __init__(self, client: Client, clock: FixedClock) -> None:
        self.client, self.clock = client, clock
        self.log: list[str] = []
        self.charted: set[str] = set()

    def rows(self) -> list[Row]:
        """Return every entry, as the database holds it."""
        return [
            Row(
                one.pk,
                one.line_id,
                one.kind,
                one.happened_at,
                one.corrects_id,
                one.body,
            )
            for one in EntryRow.objects.order_by("pk")
        ]

    def rows_of(self, line: str) -> list[Row]:
        """Return the entries of a line and of its child."""
        child = CHILD_OF[line]
        return [
            Row(
                one.pk,
                one.line_id,
                one.kind,
                one.happened_at,
                one.corrects_id,
                one.body,
            )
            for one in EntryRow.objects.filter(child=child).order_by("pk")
            if one.line_id in (None, line)
        ]

    def to_correct(self, line: str) -> list[Row]:
        """Return the entries of a line and its child that may still be corrected."""
        rows = self.rows_of(line)
        gone = {row.corrects for row in rows}
        return [
            row for row in rows
            if row.id not in gone and row.kind not in ("withdrawn", "stay")
        ]  # fmt: skip

    def chart(self, line: str, kind: str, form: Form, hours_ago: float) -> None:
        """Send the form of a kind."""
        sent = {**form, **self._when(kind, hours_ago)}
        self._send(f"by hand: {kind}", f"/line/{line}/chart/{kind}/", sent)

    def correct(self, line: str, row: Row, form: Form, hours_ago: float | None) -> None:
        """Type an entry anew; without ``hours_ago`` it keeps its time."""
        when = {} if hours_ago is None else self._when(row.kind, hours_ago)
        if hours_ago is None:
            local = row.at.astimezone(ZONE)
            when = dict.fromkeys(self._when(row.kind, 0), f"{local:%Y-%m-%dT%H:%M}")
        sent = {**form, **when, "do": "chart"}
        path = f"/line/{line}/entry/{row.id}/correct/"
        self._send(f"corrected: {row.kind}", path, sent)

    def take_back(self, line: str, row: Row) -> None:
        """Take an entry back."""
        sent = {"do": "withdraw", "because-wrong": "another child's"}
        path = f"/line/{line}/entry/{row.id}/correct/"
        self._send(f"taken back: {row.kind}", path, sent)

    def go_round(self, line: str, ticks: Form) -> None:
        """Look at a line on a round."""
        page = self.client.get(f"/line/{line}/round/").content.decode()
        items = {name: "not-seen" for name in _names(page) if name.startswith("item-")}
        sent = {**items, **ticks, "belongs": "unit"}
        self._send("on a round", f"/line/{line}/round/", sent)

    def guide(self, line: str, procedure: str, values: Form, part_done: float) -> None:
        """Be guided through a procedure: to its end, or stopped on the way."""
        opened = self._post(
            "/guide/runs/",
            {"line": line, "procedure": procedure, "assistant": ASSISTANT},
            as_json=True,
        )
        if opened.status_code not in (OK, 201):
            return
        bundle = opened.json()
        self.clock.move(minutes=30)
        account = account_of(
            bundle, values={**values}, do_not_use_known={"why": "asked Dr Demo"}
        )
        if part_done < 1:
            steps = account["steps"][: 1 + int(part_done * len(account["steps"]))]
            account |= {"steps": steps, "ending": "stopped"}
        before = self._newest()
        self._post(f"/guide/runs/{bundle['run']}/account", account, as_json=True)
        how = "done" if part_done == 1 else "stopped"
        self._note_written(f"guided, {how}: {procedure}", before)

    def bring_in(
        self,
        line: str,
        kind: str,
        body: Mapping[str, Any],
        hours_ago: float,
        corrects: int | None,
        *,
        on_line: bool = True,
    ) -> None:
        """Bring in the ward's own chart file with one entry more."""
        known = [json.loads(chart_file_line(entry)) for entry in carried_out(None)]
        row = {
            "id": max(one["id"] for one in known) + 1,
            "child": CHILD_OF[line],
            "line": line if on_line else None,
            "kind": kind,
            "happened_at": (self.clock.at - timedelta(hours=hours_ago)).isoformat(),
            "written_at": self.clock.at.isoformat(),
            "by": "s-flint",
            "corrects": corrects,
            "body": dict(body),
        }
        self.log.append(f"chart import: {json.dumps(row)}")
        text = "".join(f"{json.dumps(one)}\n" for one in (*known, row))
        entries = read_chart_file(
            io.BytesIO(text.encode()), "walk.jsonl", bounds_of_chart()
        )
        before = self._newest()
        carry_in(entries, "walk.jsonl", self.clock)
        self._note_written(f"from a file: {kind}", before)
        assert self._newest() == before + 1, "one new line of a file is one new entry"

    def close_concerns(self, line: str) -> None:
        """Close whatever concern is open on a line."""
        page = self.client.get(f"/line/{line}/").content.decode()
        open_ones = page.partition('<section class="concerns"')[2].partition(
            "</section>"
        )[0]
        for href in _hrefs(open_ones):
            self._send(
                "closed", f"{href}close/", {"outcome": "settled", "note": "Seen to."}
            )

    def wait(self, hours: float) -> None:
        """Let time pass."""
        self.log.append(f"{hours} hours pass")
        self.clock.move(hours=hours)

    def _when(self, kind: str, hours_ago: float) -> dict[str, str]:
        """Return the instant of a form as it is typed on the ward's wall clock."""
        found = kind_of(kind)
        assert found is not None
        assert found.form is not None
        if not found.form.happened_name:
            return {}
        local = (self.clock.at - timedelta(hours=hours_ago)).astimezone(ZONE)
        return {found.form.happened_name: f"{local:%Y-%m-%dT%H:%M}"}

    def _send(self, how: str, path: str, sent: Form) -> None:
        before = self._newest()
        self._post(path, {**sent, "do_not_use_known": "asked Dr Demo"})
        self._note_written(how, before)

    def _post(self, path: str, sent: Form, *, as_json: bool = False) -> HttpResponse:
        kind = {"content_type": "application/json"} if as_json else {}
        before = self._newest()
        answer = self.client.post(path, dict(sent), **kind)
        said = json.dumps(dict(sent), default=str) if path[:7] != "/guide/" else "{…}"
        at = f"{self.clock.at.astimezone(ZONE):%d %H:%M}"
        self.log.append(f"{at} POST {path} {said} -> {answer.status_code}")
        assert answer.status_code < 500, self.log[-1]
        is_written = answer.status_code in (*WRITTEN, 201)
        assert is_written or self._newest() == before, "refused, and yet written"
        return answer

    def _newest(self) -> int:
        newest = EntryRow.objects.order_by("-pk").first()
        return 0 if newest is None else newest.pk

    def _note_written(self, how: str, before: int) -> None:
        if self._newest() > before:
            self.charted.add(how)


def _names(page: str) -> Sequence[str]:
    return [piece.partition('"')[0] for piece in page.split('name="')[1:]]


def _hrefs(html: str) -> Sequence[str]:
    return [piece.partition('"')[0] for piece in html.split('href="')[1:]]
