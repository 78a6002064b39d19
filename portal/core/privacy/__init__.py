"""What is kept of people, and until when."""
