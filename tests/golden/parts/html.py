"""A page as text that compares line by line, with its links and its forms."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser

# Beside these, white space is not seen, and a tool that formats templates may change it.
BLOCKS = frozenset({
    "address", "article", "aside", "base", "body", "br", "caption", "col", "colgroup",
    "dd", "details", "dialog", "div", "dl", "dt", "fieldset", "figcaption", "figure",
    "footer", "form", "h1", "h2", "h3", "h4", "h5", "h6", "head", "header", "hr",
    "html", "legend", "li", "link", "main", "meta", "nav", "ol", "optgroup", "option",
    "p", "script", "section", "select", "style", "summary", "table", "tbody", "td",
    "tfoot", "th", "thead", "title", "tr", "ul", "svg", "g", "path", "rect", "line",
    "circle", "span", "text", "tspan", "polyline", "polygon", "desc", "defs",
})  # fmt: skip
# These stand in a line like a word: white space is seen beside them, not within them.
AS_WORDS = frozenset({"a", "button", "img", "input", "label", "textarea"})
RAW = frozenset({"pre", "textarea", "script", "style"})
SPACE = re.compile(r"\s+")
AT_LETTER = re.compile(r" *([A-Za-z]) *")


@dataclass
class Field:
    """A field of a form: what it is, what it holds, what may be chosen."""

    name: str
    kind: str
    value: str = ""
    is_on: bool = True
    options: list[tuple[str, bool]] = field(default_factory=list)
    is_barred: bool = False


@dataclass
class Form:
    """A form: where it goes, and its fields in order."""

    action: str
    method: str
    fields: list[Field] = field(default_factory=list)


class Page(HTMLParser):
    """Reads a page once: into lines, links and forms."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.lines: list[str] = []
        self.links: list[str] = []
        self.forms: list[Form] = []
        self._words: int | None = None  # where the words of this line of text end
        self._after_space = True
        self._open: str = ""
        self._form: Form | None = None
        self._select: Field | None = None
        self._area: Field | None = None
        self.feed(text)
        self.close()

    def handle_decl(self, decl: str) -> None:
        """Keep the first line of a page."""
        self.lines.append(f"<!{decl}>")

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep a tag on a line of its own, and what it says of links and forms."""
        self._meet(tag)
        told = dict(attrs)
        if told.get("name") == "csrfmiddlewaretoken":
            attrs = [(k, "<token>" if k == "value" else v) for k, v in attrs]
        said = "".join(
            f" {name}" if value is None else f' {name}="{_told(name, value)}"'
            for name, value in attrs
        )
        self.lines.append(f"<{tag}{said}>")
        if tag in RAW:
            self._open = tag
        self._note_links(told)
        self._note_forms(tag, {name: value or "" for name, value in attrs})

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep a tag that closes itself as if it were open: the same to a browser."""
        self.handle_starttag(tag, attrs)
        self._open = ""

    def handle_endtag(self, tag: str) -> None:
        """Keep the end of a tag."""
        self._meet(tag, is_end=True)
        self.lines.append(f"</{tag}>")
        self._open = ""
        if tag == "form":
            self._form = None
        elif tag == "select":
            self._select = None
        elif tag == "textarea":
            self._area = None

    def handle_data(self, data: str) -> None:
        """Keep words, with single spaces."""
        if self._area is not None:
            self._area.value += data
        if self._open:
            self.lines += [f"| {line}" for line in data.split("\n")]
            return
        words = SPACE.sub(" ", data)
        if self._after_space:
            words = words.lstrip(" ")
        # Between two tags a look decides whether a space is seen; here it never counts.
        if words.strip(" "):
            self._after_space = words.endswith(" ")
            self._words = len(self.lines)
            self.lines.append(f"| {words}")

    def _meet(self, tag: str, *, is_end: bool = False) -> None:
        """Take out the white space that is not seen before a tag, and after it."""
        if tag in AS_WORDS and not is_end:
            # Nothing is written within an image or a field.
            self._words, self._after_space = None, tag not in ("img", "input")
        elif tag in BLOCKS | AS_WORDS:
            if self._words is not None and self._after_space:
                self._strip(self._words)
            self._words, self._after_space = None, tag in BLOCKS

    def _strip(self, at: int) -> None:
        """Take the white space off the end of words; words of nothing else go."""
        self.lines[at] = self.lines[at].rstrip(" ")
        if self.lines[at] == "|":
            self.lines.pop(at)

    def _note_links(self, told: dict[str, str | None]) -> None:
        self.links += [
            value for name in ("href", "hx-get", "src") if (value := told.get(name))
        ]

    def _note_forms(self, tag: str, told: dict[str, str]) -> None:
        if tag == "form":
            method = "post" if "hx-post" in told else told.get("method", "get").lower()
            action = told.get("action") or told.get("hx-post") or ""
            self._form = Form(action, method)
            self.forms.append(self._form)
        elif tag == "option" and self._select is not None:
            self._select.options.append((told.get("value", ""), "selected" in told))
        elif tag in ("input", "select", "textarea", "button"):
            self._note_field(tag, told)

    def _note_field(self, tag: str, told: dict[str, str]) -> None:
        name = told.get("name", "")
        if self._form is None or not name:
            return
        kind = told.get("type", "text") if tag == "input" else tag
        value = told.get("value", "on" if kind in ("checkbox", "radio") else "")
        is_on = kind not in ("checkbox", "radio") or "checked" in told
        found = Field(name, kind, value, is_on, is_barred="disabled" in told)
        self._form.fields.append(found)
        if tag == "select":
            self._select = found
        elif tag == "textarea":
            self._area = found


def _told(name: str, value: str) -> str:
    """Return the value of an attribute; a path is the same with spaces at its letters."""
    value = SPACE.sub(" ", value).strip()
    return AT_LETTER.sub(r"\1", value) if name == "d" else value


def sent_as_it_is(form: Form) -> dict[str, list[str]]:
    """Return what a browser sends of a form that nobody filled in."""
    sent: dict[str, list[str]] = {}
    for one in form.fields:
        if one.is_barred or one.kind in ("button", "submit", "file") or not one.is_on:
            continue
        if one.kind == "select":
            chosen = [value for value, is_on in one.options if is_on]
            value = (chosen or [value for value, _ in one.options[:1]] or [""])[0]
        else:
            value = one.value
        sent.setdefault(one.name, []).append(value)
    return sent
