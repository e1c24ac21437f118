"""For ``python -m circuitcheck``."""

from circuitcheck.cli import main

if __name__ == "__main__":
    main()
