//! A value from outside the project that the program is held to.

/// A published, cited or independently computed value, and the program's own answer to
/// the same question.
#[derive(Clone, Copy, Debug)]
pub struct Reference {
    /// The place, the case and the mark: `confirmed` (seen at the place named), `computed`
    /// (by the formula named, apart from the program) or `from memory`.
    pub cite: &'static str,
    /// The program's answer, in `unit`; not a number where it refuses the case.
    pub computed: fn() -> f64,
    /// The source's answer, in `unit`.
    pub expected: f64,
    /// The largest difference that the source's printed digits or stated accuracy leave
    /// room for, in `unit`.
    pub tolerance: f64,
    /// The unit's symbol; `1` for a pure number.
    pub unit: &'static str,
}

impl Reference {
    /// Computed less expected, in `unit`.
    pub fn error(&self) -> f64 {
        (self.computed)() - self.expected
    }

    /// Whether the program's answer lies within the tolerance; never for a refusal.
    pub fn holds(&self) -> bool {
        // Decimal limits such as 0.001 are not exact in binary.
        self.error().abs() <= self.tolerance * (1.0 + 1e-9)
    }
}
