"""``python -m lumenkeep.web look-back``: a look-back in the terminal, as JSON, as PDF."""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from lumenkeep.errors import Fault, InputError, StoreError
from lumenkeep.ward.site.data_folder import FOLDER_VARIABLE
from lumenkeep.web.chart_file_run import choose_folder, is_current, is_there, told
from lumenkeep.web.run import set_up

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.ward.look_back.parts import LookBack, LookSection

USUAL = timedelta(days=89)


@dataclass(frozen=True, slots=True)
class LookBackCommand:
    """What the command was asked for; days left out are the last ninety."""

    ward: str
    first: date | None
    last: date | None
    pdf: str | None
    as_json: bool
    of_demo: bool


def look_back_run(asked: LookBackCommand) -> int:
    """Write what was asked for, and return the exit code."""
    try:
        found = _found(asked)
        if asked.pdf:
            _write_pdf(found, Path(asked.pdf))
    except (InputError, StoreError) as error:
        return told(error)
    if asked.as_json:
        from lumenkeep.ward.look_back.as_json import look_back_json

        said = json.dumps(look_back_json(found), indent=2, ensure_ascii=False)
    else:
        said = "\n".join(_told(found, asked.pdf))
    sys.stdout.write(f"{said}\n")
    return 0


def _found(asked: LookBackCommand) -> LookBack:
    choose_folder(of_demo=asked.of_demo)
    _must_be_there()
    set_up()
    _must_be_current()
    from lumenkeep.ward.chart.store.repository import ChartRepository, SystemClock
    from lumenkeep.ward.look_back.assemble import look_back
    from lumenkeep.ward.look_back.sources import look_back_sources

    clock = SystemClock()
    now = clock.now()
    wards = ChartRepository(clock).wards()
    zone = next((one.zone for one in wards if one.key == asked.ward), None)
    last = asked.last or now.astimezone(zone).date()
    first = asked.first or last - USUAL
    return look_back(look_back_sources(wards, clock), asked.ward, first, last, now)


def _must_be_there() -> None:
    """Refuse a folder without a chart: to read must not make one."""
    if not is_there():
        raise InputError(
            [
                Fault(
                    "look-back-no-chart",
                    "There is no chart in the data folder yet.",
                    FOLDER_VARIABLE,
                    "name the folder of your chart there, or add --demo after "
                    "`lumenkeep demo` has run once",
                )
            ]
        )


def _must_be_current() -> None:
    """Refuse a chart whose tables are of an older version: to read must not change it."""
    if not is_current():
        raise InputError(
            [
                Fault(
                    "look-back-old-chart",
                    "The chart was kept by an older version of Lumenkeep.",
                    FOLDER_VARIABLE,
                    "start `lumenkeep serve` once (or `lumenkeep demo`), which brings "
                    "it up to date",
                )
            ]
        )


def _write_pdf(found: LookBack, path: Path) -> None:
    from lumenkeep.ward.look_back.paper import look_back_pdf

    pictures = {
        part.key: [one.drawing for one in part.pictures] for part in found.sections
    }
    try:
        path.write_bytes(look_back_pdf(found, pictures))
    except OSError as error:
        raise InputError(
            [
                Fault(
                    "look-back-not-written",
                    f"The PDF could not be written: {error.strerror}.",
                    "--pdf",
                    "name a file in a folder that is there and may be written to",
                )
            ]
        ) from error


def _told(found: LookBack, pdf: str | None) -> Iterator[str]:
    yield f"Look back: {found.ward.name}, {found.first} to {found.last}"
    yield ""
    yield found.sentence
    for section in found.sections:
        yield ""
        yield from _section(section)
    if found.left_out:
        yield ""
        yield f"Not looked at: {', '.join(found.left_out)}."
    yield ""
    if pdf:
        yield f"Written: {pdf}"
    yield found.caution


def _section(section: LookSection) -> Iterator[str]:
    yield section.title
    yield f"  {section.sentence}"
    for figure in section.figures:
        behind = len(figure.entries) + len(figure.elsewhere)
        yield f"  {figure.name}: {figure.value} [{behind} behind it] {figure.words}".rstrip()
    for line in section.lines:
        yield f"  {line}"
    for line in section.unknown:
        yield f"  Not known: {line}"
