"""The command line: one module for each command, each a library call and what it prints.

`main.run` parses and runs. Every failure is one sentence on the standard error: exit 1 when the records have
problems or the answer is no, 2 when the call or the file is wrong.
"""

COMMANDS = (
    "new",
    "import",
    "export",
    "check",
    "inbreeding",
    "kinship",
    "explain",
    "plan",
    "bloodlines",
    "forecast",
    "tree",
    "certificate",
    "diary",
    "sheet",
)
"""Every command, in the order the help lists them."""


def is_command(word: str) -> bool:
    """True for a word that is a command or an option, not the name of a book to open."""
    return word in COMMANDS or word in ("-h", "--help", "--version")
