"""Who may come in: pass-phrase, sessions, certificates, and where this computer is found."""
