"""What the exit codes mean; scripts rely on them."""

DONE = 0
#: Finished, but something was left out, or a check failed.
LEFT_OUT = 1
#: Unusable input, or wrong usage.
UNUSABLE = 2
