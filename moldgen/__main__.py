"""`python -m moldgen` runs the command line."""

from moldgen.apps.cli import main

if __name__ == "__main__":
    main()
