"""The crank program: machine steps and their words."""
