"""Who is sterile when: check a procedure's steps, and find the way back after a slip."""
