"""The demo: an invented terminal, three firms, and seven repairs played through the acts."""
