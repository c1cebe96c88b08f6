"""The screens in a browser: a guard, one process for each window, the pages around them."""
