"""Numbers as screen and paper show them; see `strutkit.describe.numbers`."""

from strutkit.describe.numbers import *  # noqa: F403
