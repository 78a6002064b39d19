"""What a bank's list says came: read, and matched to what is owed. Nothing here books anything."""
