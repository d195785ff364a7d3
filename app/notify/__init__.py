"""How a message leaves: mail, push, calendar."""
