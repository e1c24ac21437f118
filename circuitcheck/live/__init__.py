"""The live page: text, findings, drawing and figures of a circuit side by side in a browser."""
