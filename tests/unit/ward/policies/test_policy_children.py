"""Who on the wards would be treated differently."""

from __future__ import annotations

from tests.fakes.chart import chart_with_a_line
from tests.fakes.clock import NOON, FixedClock

from lumenkeep.core.policy import Policy, load_policy
from lumenkeep.core.policy.archive import SetTexts, policy_from_texts, set_texts
from lumenkeep.ward.policies.children import lines_changed
from lumenkeep.ward.policies.parts import Parts


def with_film_for(days: int) -> Policy:
    """The shipped set, in which a clear film stays another number of days."""
    layers = set_texts("quillmere")
    meta = (
        '[set]\nid = "own"\ntitle = "t"\nversion = "1"\nextends = "quillmere"\n'
        'call = "c"\n'
    )
    top = Parts.of([*layers, SetTexts.of("own", {"set.toml": meta})])
    table = top.table("number", "dressing-transparent")
    values = [{**table["values"][0], "value": days}]
    files = top.with_part("number", "dressing-transparent", {**table, "values": values})
    return policy_from_texts([*layers, SetTexts.of("own", files)])


def _changed(then: Policy, ward: str = "kestrel"):
    chart = chart_with_a_line(FixedClock())
    in_force = {ward: load_policy("quillmere")}
    return lines_changed(chart.lines_in(None), in_force, then, NOON)


def test_the_same_policy_changes_nobody() -> None:
    assert _changed(load_policy("quillmere")) == ()


def test_a_shorter_stay_names_the_line_and_what_moves() -> None:
    (one,) = _changed(with_film_for(5))

    assert one.record.key == "l-1"
    assert one.plan_differs
    ((now, then),) = one.tasks
    assert (now.task, then.task) == ("dressing", "dressing")
    assert (now.due_at - then.due_at).days == 2


def test_a_line_on_a_ward_without_a_policy_is_left_out() -> None:
    assert _changed(with_film_for(5), "wren") == ()
