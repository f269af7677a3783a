"""Property tests are judged by what they find, not by how long one example takes on a busy machine."""

from hypothesis import settings

settings.register_profile("suite", deadline=None)
settings.load_profile("suite")
