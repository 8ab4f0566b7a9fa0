"""Judges that share no code with what they judge and list every fault as facts."""
