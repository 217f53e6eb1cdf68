"""How the program ends, told to the shell."""

SAFE, UNSAFE, BAD_INPUT, DEFECT = 0, 1, 2, 3
"""All is safe; written but unsafe; bad input or settings; a defect of this program."""
INTERRUPTED, PIPE_CLOSED = 130, 141
"""What a shell expects of a command stopped by the user, and of one whose reader has gone."""
