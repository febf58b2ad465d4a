"""What every face does before it asks for anything: read a job with what the workshop remembers."""
