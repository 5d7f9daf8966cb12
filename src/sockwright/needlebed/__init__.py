"""The dry run: a virtual ring of needles."""
