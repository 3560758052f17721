"""The terminal as it really is: bad bytes, dropped lines, signals, crashes. None of them ends the walk badly.

hardened driver   bytes that are not UTF-8 become U+FFFD; noise tells no size of the window; a line that hung up ends
                  the program instead of spinning; suspended, it says where things stand on a clean terminal, and
                  draws anew when it goes on
guard_signals     SIGTERM, SIGHUP and SIGINT leave by the front door, so that the terminal comes back clean
run               runs an app under these guards and gives its exit status; a crash is told and written to a file
"""

from __future__ import annotations

import asyncio
import os
import selectors
import signal
import sys
import tempfile
import traceback
from contextlib import suppress
from pathlib import Path
from typing import Any

from textual.app import App
from textual.driver import Driver
from textual.events import Resize
from textual.message import Message

from fieldtui.tui.key_decoder import KeyDecoder

CRASHED = 2
_DROPPED = "terminal dropped"

if sys.platform != "win32":
    from textual.drivers.linux_driver import LinuxDriver

    class HardenedDriver(LinuxDriver):
        """The stock driver, reading bytes that may be anything from a line that may be gone."""

        def run_input_thread(self) -> None:
            """Read keys until told to stop or the line is dropped."""
            decoder = KeyDecoder()
            selector = selectors.SelectSelector()
            selector.register(self.fileno, selectors.EVENT_READ)
            try:
                while not self.exit_event.is_set():
                    if selector.select(0.1):
                        data = self._read()
                        if not data:
                            self._hung_up()
                            return
                        for event in decoder.feed(data):
                            self.process_message(event)
                    for event in decoder.tick():
                        self.process_message(event)
            finally:
                selector.close()

        def process_message(self, message: Message) -> None:
            """Pass on what came in; a size told by bytes only from a terminal that has said it tells sizes so."""
            if isinstance(message, Resize) and not self._in_band_window_resize:
                return
            super().process_message(message)

        def _sigtstp_application(self, *_: object) -> None:
            """Give the terminal back, say where things stand, and stop."""
            if self._auto_restart:
                self.suspend_application_mode()
                self._must_signal_resume = True
                with suppress(OSError):
                    os.write(self.fileno, f"{_waiting(self._app)}\n".encode())
            os.kill(os.getpid(), signal.SIGSTOP)

        def _sigcont_application(self, *_: object) -> None:
            """Take the terminal again, and draw all of it: another program may have been on it."""
            if not self._auto_restart:
                return
            if self._key_thread is not None and self._key_thread.is_alive():
                # stopped by the signal that nobody can catch: a second reader of keys would take every other one,
                # and a terminal that is raw already would be taken for what it was before
                self.suspend_application_mode()
            self.resume_application_mode()
            self._app.call_later(self._app.refresh, layout=True)

        def _read(self) -> bytes:
            try:
                return os.read(self.fileno, 4096)
            except OSError:
                # EIO: the other end of the terminal is closed
                return b""

        def _hung_up(self) -> None:
            self._loop.call_soon_threadsafe(lambda: self._app.exit(message=_DROPPED))


def _waiting(app: App[Any]) -> str:
    """What an application says of itself while it is stopped."""
    return str(getattr(app, "waiting", "Stopped; it goes on when it is called back."))


def driver_class() -> type[Driver] | None:
    """The driver for this system, or None for the library's own."""
    if sys.platform == "win32" or "TEXTUAL_DRIVER" in os.environ:
        return None
    return HardenedDriver


def guard_signals(app: App[Any]) -> None:
    """Leave cleanly on SIGTERM, SIGHUP and SIGINT. Called with the app's loop running."""
    loop = asyncio.get_running_loop()
    for name in ("SIGTERM", "SIGHUP", "SIGINT"):
        number = getattr(signal, name, None)
        if number is not None and sys.platform != "win32":
            loop.add_signal_handler(number, lambda: app.exit())


def run(app: App[Any]) -> int:
    """Run an app to its end. The exit status is the app's own, or 2 after a crash, told in words and kept in a file."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    failure: BaseException | None = None
    try:
        app.run(mouse=False)
    except OSError as error:
        # a dropped line makes the last writes to it fail; everything that was saved is saved
        failure = error if _terminal_is_there() else None
    failure = failure or app._exception
    if failure is not None:
        _tell_crash(failure)
        return CRASHED
    return app.return_code or 0


def _terminal_is_there() -> bool:
    try:
        os.get_terminal_size(sys.__stdin__.fileno() if sys.__stdin__ is not None else 0)
    except OSError:
        return False
    return True


def _tell_crash(failure: BaseException) -> None:
    text = "".join(traceback.format_exception(failure))
    try:
        handle, name = tempfile.mkstemp(prefix="fieldtui-crash-", suffix=".txt", text=True)
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
        hand_in = f"Please hand in {Path(name)} with your report."
    except OSError as error:
        # a full disk may be what it failed of
        hand_in = f"Where it failed could not be written down: {error.strerror}."
    print(
        f"The program failed: {type(failure).__name__}. Every entry that was shown as saved is in the log; start again "
        f"to go on at the same prompt. {hand_in}",
        file=sys.stderr,
    )
