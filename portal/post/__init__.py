"""Post: writing letters, and sending what the outbox holds. The only room with SMTP."""
