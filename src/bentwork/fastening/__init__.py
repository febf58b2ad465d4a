"""What parts are held together with: threads, what to drill for them, what they hold."""
