"""`python -m fieldtui` is the command `fieldtui`."""

from fieldtui.cli import main

if __name__ == "__main__":
    raise SystemExit(main())
