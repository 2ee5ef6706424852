"""Every mutant."""

from __future__ import annotations

from tests.policy.mutants import (
    american,
    british,
    care,
    dropped,
    eased,
    growing,
    held,
    house,
    kept_care,
    kept_watch,
    lengths,
    limits,
    orders,
    rules,
    tasks,
    unreadable,
    unseen,
    unsound,
    world,
    worn,
)

MUTANTS = (
    *limits.MUTANTS,
    *rules.MUTANTS,
    *tasks.MUTANTS,
    *orders.MUTANTS,
    *care.MUTANTS,
    *dropped.MUTANTS,
    *eased.MUTANTS,
    *growing.MUTANTS,
    *held.MUTANTS,
    *kept_care.MUTANTS,
    *kept_watch.MUTANTS,
    *lengths.MUTANTS,
    *unreadable.MUTANTS,
    *unseen.MUTANTS,
    *unsound.MUTANTS,
    *world.MUTANTS,
    *worn.MUTANTS,
    *house.MUTANTS,
    *american.MUTANTS,
    *british.MUTANTS,
)
