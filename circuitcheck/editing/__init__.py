"""What an editor asks of a circuit text: completion, hover, names, layout; knows no protocol."""
