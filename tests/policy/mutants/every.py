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
