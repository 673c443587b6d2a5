//! Points, planes, polygons and closed solids.
