"""Steady Needle: a teaching workbook for breathing-regulator technicians."""

__version__: str


def __getattr__(name: str) -> str:
    """The version, looked up when it is asked for: a command that is stopped at once has loaded nothing."""
    if name != "__version__":
        raise AttributeError(f"module 'steadyneedle' has no attribute '{name}'")
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("steadyneedle")
    except PackageNotFoundError:  # running from a bare checkout that nobody installed
        return "0+unknown"
