"""Which Pythons the two commands run on. Readable by any Python since 2.7."""


def refusal(version, platform):
    """One line that says why this Python will not do, or an empty text. `version` as sys.version_info."""
    if platform.startswith("win"):
        return "Sillbook starts on Linux, macOS or WSL; plain Windows is not supported."
    if not (3, 11) <= tuple(version[:2]) <= (3, 13):
        return (
            "Sillbook runs on Python 3.11, 3.12 or 3.13, and this is Python {0}.{1}. "
            "Start it with one of those, such as: python3.12 -m seed_demo"
        ).format(version[0], version[1])
    return ""
