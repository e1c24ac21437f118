"""What a reviewer and a commissioning engineer make of solved circuits and their findings."""
