"""The main job against what no one here made. Beside each check stand its source and its grade:

F, read in the published text that is named; D, derived from such a text by arithmetic; C, common practice
of the trade, no source; M, from memory, not looked up.
"""
