"""Settings of every test."""

from hypothesis import settings

# A deadline measures the machine, not the code: two cores shared by workers make any example late now and then.
settings.register_profile("shared_machine", deadline=None)
settings.load_profile("shared_machine")
