"""What a person's cups teach: beliefs, the posterior, the next brew, and when to stop."""
