"""JSON Schemas that the package ships."""
