"""Property tests: the suite's draw the same examples every time, the deep profile's new ones.

They are judged by what they find, not by how long one example takes on a busy machine.
"""

from hypothesis import settings

from tests.depth import DEEP_COUNT

settings.register_profile("suite", deadline=None, derandomize=True)
settings.register_profile("deep", deadline=None, max_examples=settings.default.max_examples * DEEP_COUNT)
settings.load_profile("suite")
