"""The language server: what `editing` knows, told to editors in their protocol."""
