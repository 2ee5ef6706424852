"""How long a proof takes: the three shipped sets, and one set with ever more rules.

Processor time, for a machine may be busy with others. The extra rules are a quarter each
bars on a bath with limits of mass and age, findings that make a look due, cautions and
supplies; each speaks of other children, so that none is idle.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from time import process_time
from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy.archive import policy_from_texts, set_texts
from lumenkeep.core.proving.prove_policy import prove_policy
from lumenkeep.files.case.case_file import case_from_mapping
from sizes import sized

if TYPE_CHECKING:
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.proving.prove_policy import Proof

SETS = sized(("quillmere", "us-guideline", "uk-guideline"), small=("uk-guideline",))
EXTRA = sized((0, 50, 100, 200), small=(0, 4))
GROWING = "quillmere"
DAY = date(2026, 11, 30)
SITES = ("femoral", "internal-jugular", "subclavian", "upper-arm", "lower-leg", "scalp")
FINDINGS = ("damp", "loose", "soiled", "bleeding", "discharge", "sodden")
SHARED = 'because = "A rule of the ward."\nsource = "common-practice"\n'
VALUE = 'from = 2024-01-01, source = "common-practice"'


def extra_rules(count: int) -> str:
    """Return so many rules as the text of a file."""
    kinds = (_bar, _finding, _caution, _supply)
    return "\n".join(kinds[n % len(kinds)](n) for n in range(count))


def _who(n: int) -> str:
    low = f'{{ value = {1500 + 20 * n}, unit = "g", {VALUE} }}'
    high = f'{{ value = {1520 + 20 * n}, unit = "g", {VALUE} }}'
    days = f'{{ value = {70 + n}, unit = "calendar-days", {VALUE} }}'
    return (
        f"mass = {{ at_least = {low}, below = {high} }}, age = {{ below = {days} }}, "
        f'site = {{ is = ["{SITES[n % len(SITES)]}"] }}'
    )


def _bar(n: int) -> str:
    return (
        f'[[exclude]]\nid = "extra-{n}"\n{SHARED}bars = ["chlorhexidine-bath"]\n'
        f"when = [{{ {_who(n)} }}]\n"
    )


def _finding(n: int) -> str:
    return (
        f'[[at_once]]\nid = "extra-{n}"\n{SHARED}task = "site-check"\n'
        f'when = [{{ findings = {{ includes = ["{FINDINGS[n % len(FINDINGS)]}"] }}, '
        f"{_who(n)} }}]\n"
    )


def _caution(n: int) -> str:
    return f'[[note]]\nid = "extra-{n}"\n{SHARED}kind = "caution"\nwhen = [{{ {_who(n)} }}]\n'


def _supply(n: int) -> str:
    return (
        f'[[supply]]\nid = "extra-{n}"\n{SHARED}item = "extra-{n}"\nlabel = "A thing of the ward"\n'
        f'count = {{ value = 1, unit = "count", {VALUE} }}\nwhen = [{{ {_who(n)} }}]\n'
    )


def with_extra(name: str, count: int) -> Policy:
    """Return a shipped set with so many rules more."""
    *below, own = set_texts(name)
    more = (*own.files, ("extra.toml", extra_rules(count)))
    return policy_from_texts([*below, replace(own, files=more)])


def proved(policy: Policy) -> tuple[Proof, float]:
    """Return the proof of a set and its processor time (s)."""
    start = process_time()
    proof = prove_policy(policy, DAY, _case(policy))
    return proof, process_time() - start


def _case(policy: Policy) -> Any:
    return lambda case: case_from_mapping(case, "bench", bounds=policy.bounds)


def row(label: str, proof: Proof, seconds: float) -> str:
    """Return one row of the table: the whole, and what each property took."""
    parts = ", ".join(f"{part.name} {part.seconds:.1f}" for part in proof.parts)
    word = "proved" if proof.holds else "NOT PROVED"
    claims = sum(part.claims for part in proof.parts)
    return f"{label:<26} {seconds:6.1f} s  {word:<10} {claims:>7} claims  ({parts})"


def main() -> None:
    """Print the table."""
    total = 0.0
    for name in SETS:
        proof, seconds = proved(with_extra(name, 0))
        total += seconds
        print(row(name, proof, seconds))
    print(f"{'together':<26} {total:6.1f} s")
    print(f"\n{GROWING} with more rules")
    for count in EXTRA:
        proof, seconds = proved(with_extra(GROWING, count))
        print(row(f"{count} more", proof, seconds))


if __name__ == "__main__":
    main()
