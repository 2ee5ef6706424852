"""Laws of the estimates of time to event, and each beside a plain count by hand."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from lumenkeep.core.watch.survival.competing import Clustered, cumulative_incidence
from lumenkeep.core.watch.survival.counted import count
from lumenkeep.core.watch.survival.cox import cox
from lumenkeep.core.watch.survival.cox_sums import (
    event_rows,
    likelihood,
    score_residuals,
)
from lumenkeep.core.watch.survival.kaplan_meier import kaplan_meier, quantile
from lumenkeep.core.watch.survival.log_rank import WEIGHTS, compare_groups
from lumenkeep.core.watch.survival.nelson_aalen import nelson_aalen

# Few distinct times make many ties; three causes and censoring.
times = st.integers(0, 12).map(float)
rows = st.lists(st.tuples(times, st.integers(0, 3)), min_size=1, max_size=40)
grouped = st.lists(
    st.tuples(times, st.integers(0, 1), st.integers(0, 2)), min_size=4, max_size=40
)
law = settings(deadline=None, max_examples=60)


def curves(drawn: list[tuple[float, int]]):
    """Return the counts, Kaplan-Meier of any end, and the incidence of each cause."""
    counted = count(*zip(*drawn, strict=True), n_causes=3)
    return (
        counted,
        kaplan_meier(counted),
        [cumulative_incidence(counted, cause) for cause in (1, 2, 3)],
    )


@law
@given(rows)
def test_incidences_and_survival_sum_to_one(drawn) -> None:
    _, survival, incidences = curves(drawn)

    total = survival.value + sum(one.value for one in incidences)
    assert total == pytest.approx(np.ones_like(total), abs=1e-12)


@law
@given(rows, st.randoms(use_true_random=False))
def test_the_order_of_rows_is_irrelevant(drawn, random) -> None:
    other = list(drawn)
    random.shuffle(other)

    for one, two in zip(curves(drawn)[2], curves(other)[2], strict=True):
        assert one.value == pytest.approx(two.value, abs=1e-12)
        assert one.variance == pytest.approx(two.variance, abs=1e-12)


@law
@given(rows, st.sampled_from([0.25, 7.0, 24.0]))
def test_another_unit_of_time_changes_only_the_times(drawn, factor) -> None:
    counted, survival, incidences = curves(drawn)
    scaled, other, again = curves([(t * factor, c) for t, c in drawn])

    assert scaled.times == pytest.approx(counted.times * factor)
    assert other.value == pytest.approx(survival.value)
    assert other.low == pytest.approx(survival.low)
    for one, two in zip(incidences, again, strict=True):
        assert two.value == pytest.approx(one.value)


@law
@given(rows, st.integers(1, 5))
def test_waiting_longer_after_the_last_event_changes_nothing(drawn, more) -> None:
    last = max(t for t, _ in drawn)
    assume(any(c for _, c in drawn))
    longer = [(t + more if c == 0 and t == last else t, c) for t, c in drawn]
    _, one, first = curves(drawn)
    _, two, second = curves(longer)

    for time in range(int(last) + 1):
        assert two.at(time).value == pytest.approx(one.at(time).value)
        assert second[0].at(time).value == pytest.approx(first[0].at(time).value)


@law
@given(rows)
def test_one_cause_alone_is_one_minus_kaplan_meier(drawn) -> None:
    counted = count([t for t, _ in drawn], [c > 0 for _, c in drawn], n_causes=1)
    survival, incidence = kaplan_meier(counted), cumulative_incidence(counted, 1)

    assert incidence.value == pytest.approx(1.0 - survival.value, abs=1e-12)
    assert incidence.variance == pytest.approx(survival.variance, abs=1e-12)


@law
@given(rows)
def test_limits_enclose_the_value_and_stay_inside_0_and_1(drawn) -> None:
    _, survival, incidences = curves(drawn)

    for one in (survival, *incidences):
        assert (one.low <= one.value + 1e-12).all()
        assert (one.value <= one.high + 1e-12).all()
        assert (one.low >= 0.0).all()
        assert (one.high <= 1.0).all()
        found = one.before(7)
        if found.value is not None:
            assert found.low <= found.value + 1e-12
            assert found.value <= found.high + 1e-12


@law
@given(rows)
def test_each_estimate_is_as_counted_by_hand(drawn) -> None:
    counted, survival, incidences = curves(drawn)
    summed = nelson_aalen(counted, 2)
    still, ended, hazard = 1.0, [0.0, 0.0, 0.0], 0.0

    for place, time in enumerate(sorted({t for t, _ in drawn})):
        n = sum(t >= time for t, _ in drawn)
        d = [sum((t, c) == (time, cause) for t, c in drawn) for cause in (1, 2, 3)]
        for cause in range(3):
            ended[cause] += still * d[cause] / n
        still *= 1 - sum(d) / n
        hazard += d[1] / n
        assert counted.at_risk[place] == n
        assert survival.value[place] == pytest.approx(still)
        assert summed.value[place] == pytest.approx(hazard)
        for cause in range(3):
            assert incidences[cause].value[place] == pytest.approx(ended[cause])


@law
@given(rows)
def test_variance_of_an_incidence_is_the_double_sum(drawn) -> None:
    """The formula as printed, term by term, beside the running sums."""
    counted, _, incidences = curves(drawn)
    f = incidences[0].value
    n, d, k = counted.at_risk, counted.events, counted.by_cause[0]
    before = np.concatenate(([1.0], np.cumprod(1 - d / n)[:-1]))

    for i in range(len(f)):
        total = 0.0
        for j in range(i + 1):
            if n[j] > d[j]:
                total += (f[i] - f[j]) ** 2 * d[j] / (n[j] * (n[j] - d[j]))
            total += before[j] ** 2 * k[j] * (n[j] - k[j]) / n[j] ** 3
            total -= 2 * (f[i] - f[j]) * before[j] * k[j] / n[j] ** 2
        assert incidences[0].variance[i] == pytest.approx(max(total, 0.0), abs=1e-12)


@law
@given(rows)
def test_variance_by_cluster_is_what_leaving_weight_out_shows(drawn) -> None:
    """Each one's influence beside the change when its weight is moved a little."""
    lasted, causes = [t for t, _ in drawn], [c for _, c in drawn]
    day, size, step = 7.0, len(drawn), 1e-6
    clusters = np.array([i % 3 for i in range(size)])
    sums = np.zeros(3)
    for i in range(size):
        moved = []
        for sign in (1, -1):
            weight = np.ones(size)
            weight[i] += sign * step
            moved.append(_weighted(lasted, causes, weight, day))
        sums[clusters[i]] += (moved[0] - moved[1]) / (2 * step)

    found = Clustered(lasted, causes, clusters, 1).variance_before(day)
    assert found == pytest.approx(float(sums @ sums), abs=1e-6)


def _weighted(lasted, causes, weight, day) -> float:
    still, ended = 1.0, 0.0
    for time in sorted({t for t in lasted if t < day}):
        n = sum(w for t, w in zip(lasted, weight, strict=True) if t >= time)
        here = [
            (c, w) for t, c, w in zip(lasted, causes, weight, strict=True) if t == time
        ]
        ended += still * sum(w for c, w in here if c == 1) / n
        still *= 1 - sum(w for c, w in here if c) / n
    return ended


@law
@given(rows)
def test_clusters_of_one_without_censoring_give_the_binomial_variance(drawn) -> None:
    causes = [c or 2 for _, c in drawn]
    lasted = [t for t, _ in drawn]
    share = np.mean([t < 7 and c == 1 for t, c in zip(lasted, causes, strict=True)])

    found = Clustered(lasted, causes, np.arange(len(drawn)), 1).variance_before(7.0)
    assert found == pytest.approx(share * (1 - share) / len(drawn), abs=1e-12)


@law
@given(grouped, st.sampled_from(sorted(WEIGHTS)))
def test_names_of_groups_do_not_change_a_test(drawn, weights) -> None:
    lasted, events, groups = zip(*drawn, strict=True)
    one = compare_groups(lasted, events, groups, weights, 1, 0.5)
    two = compare_groups(lasted, events, [2 - g for g in groups], weights, 1, 0.5)

    assert (one.chi_square is None) == (two.chi_square is None)
    if one.chi_square is not None:
        assert one.chi_square == pytest.approx(two.chi_square, rel=1e-6, abs=1e-9)
        assert 0.0 <= one.p_value <= 1.0
    assert sum(g.observed for g in one.groups) == pytest.approx(
        sum(g.expected for g in one.groups)
    )


@law
@given(grouped)
def test_log_rank_of_two_groups_is_as_counted_by_hand(drawn) -> None:
    lasted = [t for t, _, _ in drawn]
    events = [e for _, e, _ in drawn]
    groups = [int(g > 0) for _, _, g in drawn]
    score = variance = 0.0
    for time in {t for t, e in zip(lasted, events, strict=True) if e}:
        at_risk = [g for t, g in zip(lasted, groups, strict=True) if t >= time]
        here = [
            g for t, e, g in zip(lasted, events, groups, strict=True) if e and t == time
        ]
        n, n1, d, d1 = len(at_risk), at_risk.count(0), len(here), here.count(0)
        score += d1 - d * n1 / n
        if n > 1:
            variance += d * (n1 / n) * (1 - n1 / n) * (n - d) / (n - 1)

    found = compare_groups(lasted, events, groups)
    assert found.score == pytest.approx(score, abs=1e-9)
    if found.chi_square is not None:
        assert found.chi_square == pytest.approx(score**2 / variance)


@law
@given(grouped)
def test_score_test_of_one_covariate_is_the_log_rank_test(drawn) -> None:
    """Without ties Cox's likelihood rises where the log-rank score points."""
    lasted = [t + i / 1000 for i, (t, _, _) in enumerate(drawn)]
    events = [e for _, e, _ in drawn]
    groups = [int(g > 0) for _, _, g in drawn]
    fit = cox(lasted, events, [[float(g == 0)] for g in groups], ["first"])
    found = compare_groups(lasted, events, groups)

    if fit.effects and abs(found.score) > 1e-9:
        assert np.sign(fit.effects[0].log_ratio) == np.sign(found.score)


@law
@given(grouped)
def test_ways_with_ties_agree_where_there_are_none(drawn) -> None:
    lasted = [t + i / 1000 for i, (t, _, _) in enumerate(drawn)]
    columns = [[float(g == 1), float(g == 2)] for _, _, g in drawn]
    events = [e for _, e, _ in drawn]
    efron = cox(lasted, events, columns, ["a", "b"])
    breslow = cox(lasted, events, columns, ["a", "b"], "breslow")
    assume(not any("no finite value" in words for words in efron.cautions))

    for one, two in zip(efron.effects, breslow.effects, strict=True):
        assert one.log_ratio == pytest.approx(two.log_ratio)
        assert one.se == pytest.approx(two.se)


@law
@given(rows)
def test_quantiles_do_not_fall(drawn) -> None:
    curve = kaplan_meier(count(*zip(*drawn, strict=True), n_causes=3))
    found = [quantile(curve, share).value for share in (0.25, 0.5, 0.75)]

    for one, two in pairwise(found):
        assert one is not None or two is None
        if one is not None and two is not None:
            assert one <= two


@law
@given(grouped, st.sampled_from([0.0, 0.4]), st.booleans())
def test_what_each_adds_sums_to_the_slope(drawn, beta, is_efron) -> None:
    lasted, events, groups = (np.array(column) for column in zip(*drawn, strict=True))
    assume(events.any())
    columns = groups[:, None].astype(float)
    rows = event_rows(lasted, events > 0, columns, is_efron=is_efron)
    at = np.array([beta])

    added = score_residuals(rows, at)
    assert added.sum(axis=0) == pytest.approx(likelihood(rows, at).score, abs=1e-9)


@law
@given(grouped)
def test_what_each_adds_is_as_counted_by_hand(drawn) -> None:
    """Without ties, by the formula as printed."""
    lasted = np.array([t + i / 1000 for i, (t, _, _) in enumerate(drawn)])
    events = np.array([e for _, e, _ in drawn])
    x = np.array([float(g) for _, _, g in drawn])
    assume(events.any())
    beta = 0.3
    weight = np.exp(beta * x)
    rows = event_rows(lasted, events > 0, x[:, None], is_efron=True)

    added = score_residuals(rows, np.array([beta]))[:, 0]
    for i in range(len(drawn)):
        hand = 0.0
        for j in np.flatnonzero(events):
            at_risk = lasted >= lasted[j]
            mean = (weight * x)[at_risk].sum() / weight[at_risk].sum()
            if i == j:
                hand += x[i] - mean
            if lasted[i] >= lasted[j]:
                hand -= weight[i] * (x[i] - mean) / weight[at_risk].sum()
        assert added[i] == pytest.approx(hand, abs=1e-9)


def test_doubled_dressings_of_each_child_tell_no_more_than_once() -> None:
    """Each row twice, in one cluster: the sandwich gives back the single one's."""
    random = np.random.default_rng(7)
    lasted, x = random.exponential(5.0, 60), random.integers(0, 2, 60)
    events, child = random.random(60) < 0.7, np.arange(60)
    once = cox(lasted, events, x[:, None], ["x"], "breslow", clusters=child)
    twice = cox(
        np.tile(lasted, 2), np.tile(events, 2), np.tile(x, 2)[:, None], ["x"], "breslow",
        clusters=np.tile(child, 2),
    )  # fmt: skip
    plain = cox(np.tile(lasted, 2), np.tile(events, 2), np.tile(x, 2)[:, None], ["x"])

    assert twice.effects[0].log_ratio == pytest.approx(once.effects[0].log_ratio)
    assert twice.effects[0].se == pytest.approx(once.effects[0].se, rel=0.1)
    assert twice.effects[0].se > 1.3 * plain.effects[0].se


@law
@given(grouped)
def test_score_test_of_a_fit_without_ties_is_the_log_rank_test(drawn) -> None:
    lasted = [t + i / 1000 for i, (t, _, _) in enumerate(drawn)]
    events = [e for _, e, _ in drawn]
    groups = [int(g > 0) for _, _, g in drawn]
    fit = cox(lasted, events, [[float(g)] for g in groups], ["second"])
    found = compare_groups(lasted, events, groups)

    if fit.p_value is not None and found.p_value is not None:
        assert fit.p_value == pytest.approx(found.p_value, abs=1e-9)
