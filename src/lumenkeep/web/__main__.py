"""``python -m lumenkeep.web …``: what the commands start."""

from __future__ import annotations

import argparse
import sys
from datetime import date
from typing import TYPE_CHECKING

from lumenkeep.web.chart_file_run import export_run, import_run
from lumenkeep.web.look_back_run import LookBackCommand, look_back_run
from lumenkeep.web.run import demo, migrate, serve
from lumenkeep.web.set_up_run import set_up_run
from lumenkeep.web.work_run import work_run

if TYPE_CHECKING:
    from collections.abc import Callable

DEFAULT_PORT = 8017


def main() -> None:
    """Read the arguments and start."""
    given = _parser().parse_args()
    sys.exit(_STARTS[given.what](given))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m lumenkeep.web")
    parser.add_argument("what", choices=tuple(_STARTS))
    parser.add_argument("--port", type=int, default=DEFAULT_PORT)
    parser.add_argument("--fresh", action="store_true", help="fill the demo anew")
    parser.add_argument("--file", default="")
    parser.add_argument("--ward", default="")
    parser.add_argument("--all", action="store_true", help="of every ward")
    parser.add_argument("--dry-run", action="store_true")
    parser.add_argument("--from", dest="first", type=date.fromisoformat)
    parser.add_argument("--to", dest="last", type=date.fromisoformat)
    parser.add_argument("--pdf")
    parser.add_argument("--json", dest="as_json", action="store_true")
    parser.add_argument("--of-demo", action="store_true")
    parser.add_argument("--name", default="")
    parser.add_argument("--beside", action="store_true", help="end when input ends")
    return parser


def _look_back(given: argparse.Namespace) -> int:
    return look_back_run(
        LookBackCommand(
            given.ward, given.first, given.last, given.pdf, given.as_json, given.of_demo
        )
    )


def _export(given: argparse.Namespace) -> int:
    return export_run(None if given.all else given.ward, of_demo=given.of_demo)


def _import(given: argparse.Namespace) -> int:
    return import_run(given.file, dry_run=given.dry_run, of_demo=given.of_demo)


def _work(given: argparse.Namespace) -> int:
    return work_run(given.name, beside=given.beside, of_demo=given.of_demo)


_STARTS: dict[str, Callable[[argparse.Namespace], int | None]] = {
    "demo": lambda given: demo(given.port, fresh=given.fresh),
    "serve": lambda given: serve(given.port),
    "migrate": lambda _: migrate(),
    "look-back": _look_back,
    "set-up": lambda given: set_up_run(given.file),
    "chart-export": _export,
    "chart-import": _import,
    "work": _work,
}


if __name__ == "__main__":
    main()
