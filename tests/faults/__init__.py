"""What must survive a kill, a failing disk and a power cut."""
