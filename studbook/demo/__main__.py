"""``python -m studbook.demo OUT.db`` writes the sample book."""

import sys
from argparse import ArgumentParser
from pathlib import Path

from studbook.book.errors import BookUnusable
from studbook.demo.flock import build_flock


def main() -> int:
    """Write the sample book where the caller says; a file that stands there is not touched."""
    parser = ArgumentParser(prog="python -m studbook.demo", description=__doc__)
    parser.add_argument("book", type=Path, metavar="OUT.db", help="the file to write; it must not exist yet")
    path: Path = parser.parse_args().book
    try:
        build_flock(path)
    except BookUnusable as error:
        sys.stderr.write(f"{error}\n")
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(main())
