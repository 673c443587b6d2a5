//! Picture geometry: throw, shift, beams and angles.
