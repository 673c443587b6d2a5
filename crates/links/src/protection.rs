//! Does copy protection let the picture through every box of a chain?
//!
//! Each box must reach what the source demands; the weakest decides. All of
//! it from memory: HDCP 2.3 meets a demand for 2.2; a 1.4 box in the path of
//! 4K content leaves 1080p or black.

/// The protection a box speaks, weakest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hdcp {
    /// None.
    None,
    /// 1.x.
    V1,
    /// 2.2.
    V2_2,
    /// 2.3.
    V2_3,
}

/// What a source demands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Content {
    /// No protection.
    Free,
    /// Protected up to 1080p: 1.x.
    Protected1080,
    /// Protected 4K: 2.2.
    Protected2160,
}

impl Content {
    /// The least version every box must speak.
    pub fn demand(self) -> Hdcp {
        match self {
            Self::Free => Hdcp::None,
            Self::Protected1080 => Hdcp::V1,
            Self::Protected2160 => Hdcp::V2_2,
        }
    }
}

/// Limits of a protected tree.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TreeLimits {
    /// Most boxes behind the source.
    pub devices: usize,
    /// Most boxes one behind the other.
    pub depth: usize,
}

impl TreeLimits {
    /// 127 boxes, 7 deep, for 1.x (from memory).
    pub const V1: Self = Self {
        devices: 127,
        depth: 7,
    };
    /// 32 boxes, 4 deep, for 2.x (from memory).
    pub const V2: Self = Self {
        devices: 32,
        depth: 4,
    };
}

/// What arrives at the end of a chain.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Passage {
    /// The picture as sent.
    Whole,
    /// At best 1080p: the box at this index is too old for 4K.
    Reduced {
        /// Index of the first box that does not meet the demand.
        at: usize,
    },
    /// Nothing: the box at this index does not meet the least demand.
    Blocked {
        /// Index of that box.
        at: usize,
    },
    /// More boxes in a row than the version allows.
    TooDeep {
        /// Most boxes in a row.
        depth_max: usize,
    },
}

/// What passes along the boxes after the source, the display last; `None` for no boxes.
pub fn passage(content: Content, boxes: &[Hdcp]) -> Option<Passage> {
    if boxes.is_empty() {
        return None;
    }
    if content == Content::Free {
        return Some(Passage::Whole);
    }
    let below = |demand: Hdcp| boxes.iter().position(|speaks| *speaks < demand);
    if let Some(at) = below(Hdcp::V1) {
        return Some(Passage::Blocked { at });
    }
    let reduced = below(content.demand());
    let all_2 = below(Hdcp::V2_2).is_none();
    let limits = if all_2 {
        TreeLimits::V2
    } else {
        TreeLimits::V1
    };
    if boxes.len() > limits.depth {
        return Some(Passage::TooDeep {
            depth_max: limits.depth,
        });
    }
    Some(reduced.map_or(Passage::Whole, |at| Passage::Reduced { at }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_old_box_reduces_4k() {
        let chain = [Hdcp::V2_3, Hdcp::V1, Hdcp::V2_2];
        assert_eq!(
            passage(Content::Protected2160, &chain),
            Some(Passage::Reduced { at: 1 })
        );
        assert_eq!(
            passage(Content::Protected1080, &chain),
            Some(Passage::Whole)
        );
        let newer = [Hdcp::V2_3, Hdcp::V2_2];
        assert_eq!(
            passage(Content::Protected2160, &newer),
            Some(Passage::Whole)
        );
    }

    #[test]
    fn a_box_without_protection_blocks_all_but_free_content() {
        let chain = [Hdcp::V2_2, Hdcp::None];
        assert_eq!(
            passage(Content::Protected1080, &chain),
            Some(Passage::Blocked { at: 1 })
        );
        assert_eq!(passage(Content::Free, &chain), Some(Passage::Whole));
    }

    #[test]
    fn depth_is_limited_by_version() {
        let too_deep = Some(Passage::TooDeep { depth_max: 4 });
        assert_eq!(passage(Content::Protected2160, &[Hdcp::V2_2; 5]), too_deep);
        assert_eq!(
            passage(Content::Protected2160, &[Hdcp::V2_2; 4]),
            Some(Passage::Whole)
        );
        assert_eq!(
            passage(Content::Protected1080, &[Hdcp::V1; 7]),
            Some(Passage::Whole)
        );
        assert_eq!(passage(Content::Protected1080, &[]), None);
    }
}
