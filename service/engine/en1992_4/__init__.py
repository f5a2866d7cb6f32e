"""EN 1992-4:2018, one module a failure mode, one function an equation.

Written from knowledge of the standard; clause numbers were not yet checked against its text.
"""
