"""`python -m flotation` is the command line."""

from flotation.cli import main

if __name__ == "__main__":
    main()
