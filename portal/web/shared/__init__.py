"""What the pages of every kind of user share: rendering, form parsing, a lot's sheet tabs."""
