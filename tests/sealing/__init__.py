"""The office's keys, and what is signed with them."""
