"""The invented hospital: Quillmere Children's, its wards, children, lines and staff."""
