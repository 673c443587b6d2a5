//! What rate a video or sound link needs and carries.
