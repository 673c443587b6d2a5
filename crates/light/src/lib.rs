//! Luminance, illuminance and contrast of pictures.
