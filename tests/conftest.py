"""What all tests share: examples that are the same in every run, and no clock on them."""

from hypothesis import settings

settings.register_profile("house", derandomize=True, deadline=None)
settings.load_profile("house")
