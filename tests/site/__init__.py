"""What a site holds and how it is built."""
