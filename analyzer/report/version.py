"""The version of the program."""

# The package takes its version from here: to ask what is installed takes twenty milliseconds.
VERSION = "0.1.0"
#: What ``lineshaft --version`` says.
VERSION_LINE = f"lineshaft {VERSION}"
