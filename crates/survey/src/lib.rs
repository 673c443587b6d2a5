//! Does the room close as measured, and if not, which wall is mistyped?
