"""Time to an event, where some are still waiting: estimates, tests and one model.

Times may be in any one unit. An event at the same time as a censoring counts as first.
numpy does the work over whole arrays; each method is held to published values by the
tests. Nothing here knows of dressings.
"""
