"""What every test can rely on: `tests/` is on the path, and hypothesis repeats itself."""

from hypothesis import settings

settings.register_profile("repeatable", deadline=None, derandomize=True, max_examples=60)
settings.load_profile("repeatable")
