"""The office's pages: today, lots, crew days, money in, warranty register, rate book, people."""
