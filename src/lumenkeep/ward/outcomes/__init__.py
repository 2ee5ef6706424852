"""Outcomes of a ward and period: line days, infections, rates, charts, dressing life."""
