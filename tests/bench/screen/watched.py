"""The command, with each file that it opens written down in a file: `python watched.py FILE ARGUMENTS`.

The hook is that of Python itself (PEP 578): what a library opens in C without telling is not seen.
"""

from __future__ import annotations

import os
import sys


def main() -> int:
    told = os.open(sys.argv[1], os.O_WRONLY | os.O_CREAT | os.O_APPEND)

    def hook(event: str, arguments: tuple[object, ...]) -> None:
        if event == "open":
            os.write(told, f"{arguments[0]}\n".encode(errors="replace"))

    from fieldtui.cli import main as command

    sys.addaudithook(hook)
    return command(sys.argv[2:])


if __name__ == "__main__":
    sys.exit(main())
