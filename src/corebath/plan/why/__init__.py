"""Why each number of an answer is what it is: model, inputs and where they came from, source, spread."""
