"""How long it takes to compare a shipped set with one that has more rules of its own.

Two rows stand side by side: the comparison over all children with its check by the
solver, and the statements alone. The third column is how much longer than with no rule
of one's own; a search that doubles with each rule would show there.
"""

from __future__ import annotations

from datetime import date
from time import perf_counter

from lumenkeep.core.comparing.changes import changes_between
from lumenkeep.core.comparing.compare_policies import compare_policies
from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.bounds import at_any_age
from lumenkeep.files.case.case_file import case_from_mapping
from more_rules import SET, with_more_rules
from sizes import sized

DAY = date(2026, 11, 30)
MORE = sized((0, 2, 4, 8, 12, 16, 24, 32), small=(0, 2))


def main() -> None:
    """Compare with ever more rules, and print the curve."""
    one = load_policy(SET)
    bounds = at_any_age(one.bounds)
    print("rules more   all     / none   statements   regions   fewest   exact")
    first = None
    for count in MORE:
        two = with_more_rules(count)
        start = perf_counter()
        changes_between(one, two, DAY)
        alone = perf_counter() - start
        start = perf_counter()
        found = compare_policies(
            one,
            two,
            DAY,
            lambda case: case_from_mapping(case, "example child", bounds=bounds),
        )
        taken = perf_counter() - start
        first = first or taken
        assert not found.faults, found.faults
        print(
            f"{count:>10} {taken:6.2f} s {taken / first:6.1f} {alone:10.2f} s "
            f"{len(found.differences):9} {'yes' if found.is_fewest else 'no':>8} "
            f"{'yes':>7}"
        )
    print("Bar: sixteen more rules in less than 20 s.")


if __name__ == "__main__":
    main()
