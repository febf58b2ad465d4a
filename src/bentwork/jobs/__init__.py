"""The whole job: frozen data in, whole result out."""
