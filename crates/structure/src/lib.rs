//! Loads on fixings in studs, joists and masonry.
