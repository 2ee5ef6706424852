"""A statistic by name: what its parts are called, and reading them with every fault."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import isfinite
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model.reading import closest
from lumenkeep.core.outcomes.statistics.interval import LEVEL, Limits
from lumenkeep.errors import Fault, InputError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

LONGEST = 100_000


@dataclass(frozen=True, slots=True)
class Parameter:
    """One argument of a statistic.

    Parameters
    ----------
    name
        Its key.
    kind
        "whole", "number", "wholes", "numbers" (with commas), "table" (rows with a
        slash between), "attempts" (S and F) or one of several words.
    low, high
        Least and greatest value; ``is_open`` leaves the ends themselves out.
    default
        What stands where it is left out; None with ``is_needed`` asks for it.
    also
        Other keys that mean the same.
    """

    name: str
    kind: str
    low: float = 0.0
    high: float = 1e9
    is_open: bool = False
    is_needed: bool = True
    default: Any = None
    also: tuple[str, ...] = ()
    words: tuple[str, ...] = ()

    def describe(self) -> str:
        """Return how to write it."""
        return {
            "whole": "a whole number",
            "number": "a number",
            "wholes": "whole numbers with commas between, as in 3,1,0",
            "numbers": "numbers with commas between, as in 1.5,2,0.7",
            "table": "rows with a slash between, as in 20,5/10,15",
            "attempts": "S and F for success and failure, as in SSFS",
            "word": "one of: " + ", ".join(self.words),
        }[self.kind]


def _number(text: str) -> float:
    value = float(text)
    if not isfinite(value):
        raise ValueError(text)
    return value


def _whole(text: str) -> int:
    value = _number(text)
    if value != int(value):
        raise ValueError(text)
    return int(value)


def _list(text: str, one: Callable[[str], Any]) -> list[Any]:
    found = [one(part) for part in text.split(",")]
    if not found or len(found) > LONGEST:
        raise ValueError(text)
    return found


def _table(text: str) -> list[list[float]]:
    rows = [_list(row, _number) for row in text.replace(";", "/").split("/")]
    if len({len(row) for row in rows}) != 1:
        raise ValueError(text)
    return rows


def _attempts(text: str) -> list[bool]:
    letters = text.upper().replace(" ", "").replace(",", "")
    if not letters or set(letters) - {"S", "F"}:
        raise ValueError(text)
    return [letter == "F" for letter in letters]


READ: dict[str, Callable[[str], Any]] = {
    "whole": _whole,
    "number": _number,
    "wholes": lambda text: _list(text, _whole),
    "numbers": lambda text: _list(text, _number),
    "table": _table,
    "attempts": _attempts,
}


def read_arguments(
    words: Sequence[str], parameters: Sequence[Parameter], statistic: str
) -> dict[str, Any]:
    """Return the value of each parameter.

    Raises
    ------
    InputError
        Every fault: keys nobody knows, values that are none, values out of range,
        what is missing.
    """
    faults: list[Fault] = []
    given = _given(words, parameters, statistic, faults)
    found: dict[str, Any] = {}
    for parameter in parameters:
        text = given.get(parameter.name)
        if text is not None:
            found[parameter.name] = _value(text, parameter, statistic, faults)
        elif parameter.is_needed and parameter.default is None:
            faults.append(
                Fault(
                    "argument-missing",
                    f"'{parameter.name}' is missing.",
                    f"stats {statistic}",
                    f"add {parameter.name}= and {parameter.describe()}",
                )
            )
        else:
            found[parameter.name] = parameter.default
    if faults:
        raise InputError(faults)
    return found


def _given(
    words: Sequence[str],
    parameters: Sequence[Parameter],
    statistic: str,
    faults: list[Fault],
) -> Mapping[str, str]:
    names = {key: p.name for p in parameters for key in (p.name, *p.also)}
    given: dict[str, str] = {}
    for word in words:
        key, equals, text = word.partition("=")
        key = key.strip().replace("-", "_")
        if not equals:
            faults.append(
                Fault(
                    "argument-no-value",
                    f"'{word}' is no key with a value.",
                    f"stats {statistic}",
                    "write key=value, without spaces",
                )
            )
        elif key not in names:
            near = closest(key, names)
            known = ", ".join(p.name for p in parameters)
            faults.append(
                Fault(
                    "argument-unknown-key",
                    f"'{key}' means nothing here.",
                    f"stats {statistic}",
                    f"did you mean '{near}'?" if near else f"known are: {known}",
                )
            )
        elif names[key] in given:
            faults.append(
                Fault(
                    "argument-twice",
                    f"'{key}' is given twice.",
                    f"stats {statistic}",
                    "keep one",
                )
            )
        else:
            given[names[key]] = text.strip()
    return given


def _value(text: str, parameter: Parameter, statistic: str, faults: list[Fault]) -> Any:
    place = f"stats {statistic}: {parameter.name}"
    try:
        value = (
            _word(text, parameter) if parameter.words else READ[parameter.kind](text)
        )
    except (ValueError, OverflowError):
        faults.append(
            Fault(
                "argument-bad-value",
                f"'{text[:40]}' is not {parameter.describe()}.",
                place,
                f"write {parameter.describe()}",
            )
        )
        return None
    if any(not _is_inside(x, parameter) for x in _all_of(value)):
        ends = "between" if parameter.is_open else "from"
        joint = "and" if parameter.is_open else "to"
        faults.append(
            Fault(
                "argument-out-of-range",
                f"'{text[:40]}' is not possible here.",
                place,
                f"write {ends} {parameter.low:g} {joint} {parameter.high:g}",
            )
        )
        return None
    return value


def _word(text: str, parameter: Parameter) -> str:
    if text not in parameter.words:
        raise ValueError(text)
    return text


def _all_of(value: Any) -> list[float]:
    if isinstance(value, bool | str):
        return []
    if isinstance(value, list):
        return [x for inner in value for x in _all_of(inner)]
    return [value]


def _is_inside(value: float, parameter: Parameter) -> bool:
    if parameter.is_open:
        return parameter.low < value < parameter.high
    return parameter.low <= value <= parameter.high


Answer = tuple[str, dict[str, Any]]


@dataclass(frozen=True, slots=True)
class Statistic:
    """A statistic: what it is about, its arguments, and the work."""

    about: str
    parameters: tuple[Parameter, ...]
    work: Callable[..., Answer]


level_option = Parameter(
    "level", "number", 0.0, 1.0, is_open=True, is_needed=False, default=LEVEL
)


def ends(limits: Limits) -> dict[str, float | None]:
    """Return limits as values."""
    return {"low": limits.low, "high": limits.high}


def shown(limits: Limits, digits: int = 4) -> str:
    """Return limits in words."""
    low = "no lower limit" if limits.low is None else f"{limits.low:.{digits}f}"
    high = "no upper limit" if limits.high is None else f"{limits.high:.{digits}f}"
    return f"{low} to {high}"


def equal_length(**lists: Any) -> None:
    """Check that lists given side by side are as long as each other.

    Raises
    ------
    ValueError
        They are not, so it is not known what belongs together.
    """
    if len({len(one) for one in lists.values()}) > 1:
        sizes = ", ".join(f"{name} has {len(one)}" for name, one in lists.items())
        raise ValueError(sizes)
