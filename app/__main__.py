"""The command ``broodwater``."""

from app.cli.main import main

if __name__ == "__main__":
    main()
