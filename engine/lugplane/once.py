"""`functools.cache`, which costs more to import than an answer that is said again may take."""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from functools import cache as once

    __all__ = ["once"]
else:

    class once:
        """Calls a function once for each set of arguments; `cache_clear` forgets them all."""

        def __init__(self, function):
            self._function, self._found = function, {}
            self.__doc__ = function.__doc__

        def __call__(self, *arguments):
            if arguments not in self._found:
                self._found[arguments] = self._function(*arguments)
            return self._found[arguments]

        def cache_clear(self):
            """Forget what was found."""
            self._found.clear()
