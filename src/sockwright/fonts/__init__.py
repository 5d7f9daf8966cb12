"""The typefaces that sheets and pages are set in, with their licences."""
