"""Charts to draw on with a pencil: numbers in the unit printed go in, SVG comes out.

Everything is in millimetres on paper, black on white, told apart by words, dashes and hatching.
Nothing here reads files, knows the job or rounds a limit: a point lies where its number says.
"""
