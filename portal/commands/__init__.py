"""The commands of `python3 -m portal`, a module each; `portal.cli` lists them."""
