"""The demo: an invented terminal, three invented firms, and six repairs played through the acts."""
