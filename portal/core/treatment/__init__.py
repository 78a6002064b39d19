"""Product, containers, batches, minutes, and the evidence a treatment needs."""
