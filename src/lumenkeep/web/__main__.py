"""``python -m lumenkeep.web demo|serve|migrate|look-back|set-up``: what the commands start."""

from __future__ import annotations

import argparse
import sys
from datetime import date

from lumenkeep.web.look_back_run import AskedFor, look_back_run
from lumenkeep.web.run import demo, migrate, serve
from lumenkeep.web.set_up_run import set_up_run

DEFAULT_PORT = 8017


def main() -> None:
    """Read the arguments and start."""
    parser = argparse.ArgumentParser(prog="python -m lumenkeep.web")
    parser.add_argument(
        "what", choices=("demo", "serve", "migrate", "look-back", "set-up")
    )
    parser.add_argument("--port", type=int, default=DEFAULT_PORT)
    parser.add_argument("--fresh", action="store_true", help="fill the demo anew")
    parser.add_argument("--file", default="")
    parser.add_argument("--ward", default="")
    parser.add_argument("--from", dest="first", type=date.fromisoformat)
    parser.add_argument("--to", dest="last", type=date.fromisoformat)
    parser.add_argument("--pdf")
    parser.add_argument("--json", dest="as_json", action="store_true")
    parser.add_argument("--of-demo", action="store_true")
    given = parser.parse_args()
    if given.what == "set-up":
        sys.exit(set_up_run(given.file))
    if given.what == "look-back":
        sys.exit(
            look_back_run(
                AskedFor(
                    given.ward,
                    given.first,
                    given.last,
                    given.pdf,
                    given.as_json,
                    given.of_demo,
                )
            )
        )
    if given.what == "demo":
        demo(given.port, fresh=given.fresh)
    elif given.what == "serve":
        serve(given.port)
    else:
        migrate()


if __name__ == "__main__":
    main()
