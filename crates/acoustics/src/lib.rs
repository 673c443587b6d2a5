//! Loudspeaker directions, levels, reverberation and modes.
