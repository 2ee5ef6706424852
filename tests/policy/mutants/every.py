"""Every mutant."""

from __future__ import annotations

from tests.policy.mutants import care, growing, held, limits, orders, rules, unreadable

MUTANTS = (
    *limits.MUTANTS,
    *rules.MUTANTS,
    *orders.MUTANTS,
    *care.MUTANTS,
    *growing.MUTANTS,
    *held.MUTANTS,
    *unreadable.MUTANTS,
)
