"""From a bare Python to a running house: environment, native library, browser, start.

Everything here but `serve.py` runs before anything is installed, so it uses the
standard library only. `python3 -m tests` stands on the same steps.
"""
