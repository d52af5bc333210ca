"""The brief's own aims, question by question: results in, findings out."""
