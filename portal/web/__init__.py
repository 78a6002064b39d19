"""The web room: parses a request, calls one act, renders. No rule, no query, no arithmetic."""
