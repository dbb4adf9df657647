"""`python -m platemaker.cli`: the same as the `platemaker` command."""

from platemaker.cli import main

if __name__ == "__main__":
    main()
