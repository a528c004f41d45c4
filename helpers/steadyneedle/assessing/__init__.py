"""What an assessor does: papers, handed-in answers, marks. No widget, no notebook server, no plot."""
