"""The circuit and its hook-ups as SVG: pure functions from plan data to text.

`board.lay_out` places and routes a circuit once for a size; the functions of `hookups` draw on that
board. Nothing here opens a file or words a step.
"""
