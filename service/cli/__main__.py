"""Lets `python -m service.cli` do what `anchor-rulebook` does."""

import sys

from service.cli import main

if __name__ == "__main__":
    sys.exit(main())
