"""An invented fishroom, played through the services day by day."""
