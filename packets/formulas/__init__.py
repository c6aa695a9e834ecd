"""Pure functions in SI units, one file a subject.

Nothing here reads a file, knows the model or looks at the clock.
"""
