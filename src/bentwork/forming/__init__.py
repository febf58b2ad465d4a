"""How the metal answers: what to pull so that the drawn bend is left."""
