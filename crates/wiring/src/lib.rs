//! Loudspeaker wire, cable routes and holes.
