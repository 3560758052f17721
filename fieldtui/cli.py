"""One command, one call; each room is imported when its command is called."""


def main() -> int:
    return 0
