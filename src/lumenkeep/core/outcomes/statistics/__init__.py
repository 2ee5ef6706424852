"""Numbers about outcomes, each with how sure it is: scipy where it has the method.

Own code stands only where scipy has none, or answers another question under the same
name; each such function is held to published values by the tests.
"""
