"""What holds for all tests."""

import gc

gc.set_threshold(100_000, 50, 100)  # short-lived heaps: collecting as often as usual costs an eighth of the time
