"""The circuit as a graph: nitrogen routes, hook-ups, sections and volumes.

Pure functions over `packets.model.circuits` and `packets.model.hookups`; nothing here reads a file
or words a step.
"""
