"""The demo hospital's pages: every kind of page that links lead to, on a few lines."""

from __future__ import annotations

import json
import re
from collections import Counter, deque
from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import parse_qs, urljoin, urlsplit

from django.urls import Resolver404, resolve
from tests.golden.parts.commands import run
from tests.golden.parts.visit import Visit, name_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.golden.folder import Folder
    from tests.golden.parts.html import Page

LINE = re.compile(r"/line/(l-[0-9a-f]+)/")
WARDS = ("kestrel", "wren", "heron")
UNLIMITED = frozenset({"chart-kind", "chart-fact", "chart-task"})
# These begin work that takes minutes.
LONG_WORK = frozenset({
    "guide-prepare", "policy-proof", "policy-comparison", "policy-children",
    "policy-version-comparison", "policy-version-children", "look-back-pdf",
    "recovery", "recovery-steps",
})  # fmt: skip
NO_PAGES = frozenset({"sign-out", "guide-token", "guide-practice"})


@dataclass(frozen=True)
class Reach:
    """How far links are followed.

    Attributes
    ----------
    lines
        How many lines are looked at.
    per_line
        How many addresses that differ in what they are told are kept for one line or ward.
    per_route
        How many are kept in all of one kind of page.
    others
        Who looks too, besides the educator.
    per_form
        How many forms of one kind are sent.
    sends_drafts
        Whether forms of drafts are sent too, each a check of the whole set.
    leaves
        Names of addresses that take too long for a test.
    """

    lines: int
    per_line: int
    per_route: int
    others: tuple[str, ...]
    per_form: int
    sends_drafts: bool
    leaves: frozenset[str] = frozenset()


NEAR = Reach(
    1, 1, 1, ("jasper",), 1, sends_drafts=False,
    leaves=frozenset({"plan-spares", "look-back-behind"}),
)  # fmt: skip
FAR = Reach(3, 2, 20, ("jasper", "onyx", "basalt"), 2, sends_drafts=True)

SEEDS = (
    "/", "/ward/all/", "/ward/all/concerns/", "/ward/all/handover/", "/no/such/page/",
    "/line/l-0000000000/", "/ward/nowhere/", "/password/", "/guide/", "/policy/",
    "/dressing-life/all/", "/dressing-life/heron/?split=kind", "/measuring-error/wren/",
    "/outcomes/", "/look-back/", "/policy/changes/", "/ward/wren/?by=nonsense",
)  # fmt: skip


class Crawl:
    """Follows the links of pages, breadth first, and keeps a few of each kind.

    Attributes
    ----------
    forms
        Address of each kept page that has a form to send, and the page.
    """

    def __init__(self, visit: Visit, lines: list[str], reach: Reach) -> None:
        self.visit, self.lines, self.reach = visit, lines, reach
        self.forms: dict[str, Page] = {}
        self.seen: set[str] = set()
        self.routes: Counter[str] = Counter()
        self._told: Counter[tuple[str, ...]] = Counter()

    def walk(self, seeds: list[str]) -> None:
        """Keep the seeds, and what may be kept of all they lead to."""
        waiting = deque(seeds)
        while waiting:
            path = waiting.popleft()
            if path in self.seen or not self._may(path, is_seed=path in seeds):
                continue
            self.seen.add(path)
            page = self.visit.look(path, f"pages/{name_of(path)}")
            if any(form.method == "post" for form in page.forms):
                self.forms[path] = page
            waiting += [found for link in page.links if (found := _inside(path, link))]

    def _may(self, path: str, *, is_seed: bool) -> bool:
        """Return whether a page is kept, and count it."""
        split = urlsplit(path)
        try:
            match = resolve(split.path)
        except Resolver404:
            return is_seed
        route, told = match.url_name or "", match.kwargs
        if route in LONG_WORK | NO_PAGES | self.reach.leaves:
            return False
        line = LINE.search(path)
        if line and line[1] not in self.lines and not is_seed:
            return False
        asks = ",".join(sorted(parse_qs(split.query, keep_blank_values=True)))
        group = (route, str(told.get("key", "")), str(told.get("kind", "")), asks)
        if not is_seed and route not in UNLIMITED and (
            self._told[group] >= self.reach.per_line or self.routes[route] >= self.reach.per_route
        ):  # fmt: skip
            return False
        self._told[group] += 1
        self.routes[route] += 1
        return True


def _inside(path: str, link: str) -> str | None:
    """Return where a link leads to within the application, without its fragment."""
    split = urlsplit(urljoin(path, link))
    if split.scheme or split.netloc or split.path.startswith("/static/"):
        return None
    return split.path + (f"?{split.query}" if split.query else "")


def sample_lines(visit: Visit) -> list[str]:
    """Return the first line of each ward, then the last, as the wards show them."""
    first, last = [], []
    for ward in WARDS:
        text = visit.client.get(f"/ward/{ward}/strips/").content.decode()
        text += visit.client.get(f"/ward/{ward}/").content.decode()
        lines = list(dict.fromkeys(LINE.findall(text)))
        first.append(lines[0])
        last.append(lines[-1])
    return [*first[1:], first[0], *last]


def kinds() -> list[str]:
    """Return the kinds of entry that may be charted, as the command tells them."""
    said = run(["chart", "kinds", "--json"]).partition("--- output\n")[2]
    return [
        one["id"] for one in json.loads(said.partition("--- complaints")[0])["kinds"]
    ]


def write(folder: Folder, reach: Reach) -> Crawl:
    """Write the pages that an educator can reach, and some as others see them."""
    stranger = Visit(folder, account=None)
    for path in (
        "/",
        "/sign-in/",
        "/guide/",
        "/line/l-0000000000/",
        "/guide/runs/x/facts",
    ):
        stranger.look(path, f"pages-unsigned/{name_of(path)}")
    visit = Visit(folder)
    lines = sample_lines(visit)[: reach.lines]
    crawl = Crawl(visit, lines, reach)
    crawl.walk([*SEEDS, *_of_lines(lines)])
    folder.text(
        "pages-by-route.txt",
        "\n".join(f"{route} {n}" for route, n in sorted(crawl.routes.items())),
    )
    for account in reach.others:
        other = Visit(folder, account)
        for path in _seen_by_others(crawl, lines):
            other.look(path, f"pages-{account}/{name_of(path)}")
    return crawl


def _of_lines(lines: list[str]) -> Iterator[str]:
    for number, line in enumerate(lines):
        yield f"/line/{line}/"
        yield f"/line/{line}/?entries=all"
        if number == 0:
            for kind in kinds():
                yield f"/line/{line}/chart/{kind}/"


def _seen_by_others(crawl: Crawl, lines: list[str]) -> Iterator[str]:
    wanted = (
        "/", "/ward/kestrel/", "/ward/heron/", "/ward/heron/concerns/", "/policy/",
        "/policy/changes/", "/outcomes/", "/outcomes/heron/", "/look-back/",
        "/infections/ward/heron/",
    )  # fmt: skip
    yield from wanted
    for line in lines[::2]:
        yield f"/line/{line}/"
        yield f"/line/{line}/plan/"
    seen = set()
    for path in sorted(crawl.seen):
        kind = re.sub(r"[^/]*\d[^/]*", "#", path)
        if "/concern/" in path or "/blood/" in path or "/version/" in path:
            if kind not in seen:
                yield path
            seen.add(kind)
