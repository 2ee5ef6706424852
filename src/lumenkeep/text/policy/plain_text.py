"""A policy's reading as plain text, for a terminal or a file."""

from __future__ import annotations

from textwrap import fill
from typing import TYPE_CHECKING

from lumenkeep.text.policy.decision_steps import chart_steps

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lumenkeep.text.policy.decision_chart import DecisionChart
    from lumenkeep.text.policy.parts import (
        Cite,
        DisputeText,
        NumberRow,
        Section,
        SourceRow,
        StatementText,
    )
    from lumenkeep.text.policy.policy_reading import PolicyReading

WIDTH = 88


def reading_in_words(reading: PolicyReading) -> str:
    """Return the whole reading as text, its sources at the end."""
    lines = [
        reading.title,
        f"Version {reading.version} ({reading.set_id}), digest {reading.digest}",
        *[line for told in reading.restated for line in _wrapped(told, "")],
        f"As it stands on {reading.day_words}",
        *_wrapped(f"Where there is no answer, call {reading.call}.", ""),
    ]
    if reading.chart:
        lines += ["", *_headed("The decision, step by step"), *_steps(reading.chart)]
    for section in reading.sections:
        lines += ["", *_headed(section.title), *_section(section)]
    if reading.disputes:
        lines += ["", *_headed("Where published guidance disagrees")]
        lines += [line for dispute in reading.disputes for line in _dispute(dispute)]
    lines += ["", *_headed("Numbers")]
    lines += [line for number in reading.numbers for line in _number(number)]
    lines += ["", *_headed("Sources")]
    lines += [line for source in reading.sources for line in _source(source)]
    return "\n".join(lines)


def cites_in_words(cites: Iterable[Cite]) -> str:
    """Return citations as they stand behind a sentence; empty where there are none."""
    told = "; ".join(_cite(cite) for cite in cites)
    return f"[{told}]" if told else ""


def _cite(cite: Cite) -> str:
    about = f"{cite.about}: " if cite.about else ""
    how = f", {cite.how}" if cite.how else ""
    return f"{about}{cite.label} ({cite.place}){how}"


def _headed(title: str) -> list[str]:
    return [title, "-" * len(title)]


def _wrapped(text: str, first: str, rest: str | None = None) -> list[str]:
    following = first if rest is None else rest
    return fill(
        text,
        WIDTH,
        initial_indent=first,
        subsequent_indent=following,
        break_long_words=False,
        break_on_hyphens=False,
    ).split("\n")


def _steps(chart: DecisionChart) -> Iterator[str]:
    for step in chart_steps(chart):
        yield from _wrapped(f"{step.number}. {step.asks}", "", "   ")
        for item in step.items:
            yield from _wrapped(item, "   - ", "     ")
        for lead in (step.one, step.none):
            yield from _wrapped(f"{lead.when}: {lead.to}", "   ")
    yield from _wrapped(chart.note, "")


def _section(section: Section) -> Iterator[str]:
    if section.lead:
        yield from _wrapped(section.lead, "")
    for part in section.parts:
        if part.heading:
            yield from _wrapped(f"{part.heading}:", "")
        for statement in part.statements:
            yield from _statement(statement)


def _statement(statement: StatementText) -> Iterator[str]:
    says = f"{statement.text} {statement.because}".rstrip()
    cites = cites_in_words(statement.cites)
    yield from _wrapped(f"{says} {cites}".rstrip(), "- ", "  ")
    for detail in statement.details:
        cites = cites_in_words(detail.cites)
        text = f"{detail.label}: {detail.text} {cites}".rstrip()
        yield from _wrapped(text, "    ", "      ")
    if statement.rule:
        yield f"    rule {statement.rule}"


def _dispute(dispute: DisputeText) -> Iterator[str]:
    yield from _wrapped(f"{dispute.rule}. {dispute.topic}. {dispute.because}", "", "  ")
    if dispute.when:
        cites = cites_in_words(dispute.cites)
        yield from _wrapped(f"For whom: when {dispute.when}. {cites}".rstrip(), "    ")
    for said in dispute.said:
        yield from _wrapped(f"{_cite(said.cite)}: {said.says}", "  - ", "    ")


def _number(number: NumberRow) -> Iterator[str]:
    yield from _wrapped(f"{number.means} [{number.id}]", "- ", "  ")
    for value in number.values:
        text = f"{value.words}, from {value.since}: {_cite(value.cite)}"
        yield from _wrapped(text, "    ", "      ")


def _source(source: SourceRow) -> Iterator[str]:
    who = f"{source.body}{f', {source.year}' if source.year else ''}"
    covers = f" Covers: {source.covers}." if source.covers else ""
    text = f"{source.place}. {source.title}. {who}.{covers} {source.how}."
    yield from _wrapped(text, "", "   ")
    if source.address:
        yield f"   {source.address}"
