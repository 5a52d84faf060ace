//! How sway changed over a course.
