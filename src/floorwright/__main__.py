"""`python -m floorwright` is the same as the `floorwright` command."""

from floorwright.cli import main

if __name__ == "__main__":
    main()
