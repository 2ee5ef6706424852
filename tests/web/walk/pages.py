"""What each page says of a line, read off the page as it is sent to a browser.

A claim goes by the same name on every page, so that pages can be held against each
other and against a reading of the chart.
"""

from __future__ import annotations

import re
from html import unescape
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping

    Claims = dict[str, Any]

SAID = "Do not use the line until"
HELD_BOX = '<section class="held"'
HELD_CARD = '<p class="concern-hold">'
NOT_KNOWN = "Not known"
NONE_ON = "None on: came off with the needle"
SUBSTANCES = (
    "adhesive", "alcohol", "chlorhexidine", "gel", "iodine", "latex", "silicone",
)  # fmt: skip
NOW_GROUPS = {"dressing-now", "other-now"}
TASK_OF = {
    "Dressing": "dressing",
    "Needleless connectors": "connector",
    "Administration set": "set",
    "Port needle": "port-needle",
    "Is the line still needed?": "line-review",
    "Look at the site": "site-check",
    "Longest stay of the line": "line-stay",
}
_TAG = re.compile(r"<[^>]+>")
_FACT = re.compile(r"<dt>(.*?)</dt><dd><b>(.*?)</b>")
_TASK = re.compile(r'<li( class="is-now")?><span class="what">(.*?)</span>')
_STRIP = re.compile(r'<article class="strip g-([\w-]+)[^>]*? id="strip-([\w-]+)">')
_BED = re.compile(r'<li class="bed.*?</li>', re.DOTALL)
_ROW = re.compile(r"<tr.*?</tr>", re.DOTALL)


def text_of(html: str) -> str:
    """Return the words of a piece of a page, with single spaces."""
    return " ".join(unescape(_TAG.sub(" ", html)).split())


def tight(page: str) -> str:
    """Return a page without the white space of its template between tags."""
    return re.sub(r">\s+<", "><", page)


def part(page: str, start: str, end: str) -> str:
    """Return what lies between two marks of a page; empty where the first is not."""
    _, found, rest = page.partition(start)
    return rest.partition(end)[0] if found else ""


def line_page(page: str) -> Claims:
    """Return what the page of a line that is in says."""
    facts = {text_of(name): text_of(value) for name, value in _FACT.findall(page)}
    due = part(page, '<h2 id="due">', "</ul>")
    return {
        **says_held(page),
        "held by a concern": HELD_CARD in page,
        "dressing on": facts["Dressing"],
        "length": facts["Length outside"],
        "stitches": facts["Stitches"],
        "not tolerated": not_tolerated(facts["Does not tolerate"]),
        "skin": facts["Skin at the site"],
        "due now": {
            TASK_OF[text_of(what).partition(":")[0]]
            for is_now, what in _TASK.findall(due)
            if is_now
        },
        "answer": text_of(part(page, '<p class="line-plan">', "</p>")),
    }


def plan_page(page: str) -> Claims:
    """Return what the plan says."""
    skin = part(page, '<h2 id="skin">', "</section>")
    after = part(page, '<h2 id="afterwards">', "</section>")
    agent = part(part(skin, '<ul class="rows">', "</ul>"), '"what">', "</span>")
    dressing = part(part(after, ">New dressing</span>", "</li>"), "amount", "</b>")
    answer = text_of(part(page, '<h1 id="answer">', "</h1>"))
    call = text_of(part(page, '<p class="answer-call">', "</p>"))
    return {
        **says_held(page),
        "agent": text_of(agent) or None,
        "dressing next": text_of(f"<b {dressing}</b>") or None,
        "answer": f"{answer} {call}." if call else answer,
    }


def says_held(page: str) -> Claims:
    """Return whether a page says that its line must not be used."""
    return {"held": HELD_BOX in page and SAID in page}


def not_tolerated(text: str) -> frozenset[str] | None:
    """Return the substances that a text names; None where nobody has asked."""
    if text == NOT_KNOWN:
        return None
    return frozenset(word for word in SUBSTANCES if word in text.lower())


def guide_page(page: str) -> Claims:
    """Return what the preparation of a guide says; nothing of the plan where it asks."""
    lead = text_of(part(page, '<p class="form-lead">', "</p>"))
    return {**says_held(page), "answer": lead if "people." in lead else ""}


def ward_page(page: str) -> dict[str, Claims]:
    """Return what each strip of the ward says, by line, in the order of the page."""
    return {
        key: {
            "held": group == "held",
            "needs hands": group if group in NOW_GROUPS else None,
            "is listed": True,
        }
        for group, key in _STRIP.findall(page)
    }


def round_page(page: str) -> dict[str, Claims]:
    """Return what the walk of a round says of each line."""
    return {
        part(bed, 'href="/line/', "/"): {"held": "do not use" in bed, "is listed": True}
        for bed in _BED.findall(page)
    }


def handover_page(page: str) -> set[tuple[str, str]]:
    """Return child and line, in words, of each row that says not to use a line."""
    held = [row for row in _ROW.findall(page) if SAID in row]
    found = set()
    for row in held:
        head = part(row, "<th", "</th>").partition(">")[2]
        _bed, child, line, *_out = (text_of(one) for one in head.split("<br>"))
        found.add((child, line))
    return found


def chart_answer(line: Mapping[str, Any]) -> Claims:
    """Return what ``chart read`` says of a line that is in."""
    facts, plan = line["facts"]["line"], line["plan"]
    child = line["facts"]["child"]
    worn = facts.get("dressing", {})
    return {
        "held": line["do_not_use"],
        "dressing": worn.get("kind"),
        "put on": worn.get("applied"),
        "findings": {one["kind"] for one in worn.get("findings", ())},
        "length mm": facts.get("external_length_mm"),
        "stitches counted": facts.get("stitches"),
        "skin word": facts.get("skin_at_site", child.get("skin_at_site")),
        "sets": None
        if "sets" not in facts
        else sorted((one.get("kind"), one.get("changed")) for one in facts["sets"]),
        "needle in": facts.get("needle_in"),
        "in use": facts.get("in_use"),
        "patency": facts.get("patency"),
        "due now": {one["task"] for one in line["due"] if one["now"]},
        "agent": plan["antiseptic"] and plan["antiseptic"]["label"],
        "dressing next": plan["dressing"] and plan["dressing"]["label"],
        "answer": " ".join(plan["sentence"].split()),
    }
