"""The mount search: zones, rows, bounds, branch and bound, polish, answers.

Equations and method are in the docstrings of the modules, one idea in each.
"""
