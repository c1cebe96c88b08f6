"""Whether a voyage file can be opened at all, sound or not."""


def readable(path: str) -> None:
    """Raises Problems where there is no such file, or where it can't be read as TOML."""
    from voyager.files.toml import read_toml

    read_toml(path)
